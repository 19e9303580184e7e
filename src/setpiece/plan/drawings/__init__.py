"""The plan as drawings: SVG text, built by hand, coloured by the page it stands on."""
