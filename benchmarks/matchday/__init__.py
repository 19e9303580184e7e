"""A whole match day, simulated: cameras, phone, operator, desks, a bad link and bad luck.

`script` says what happens and is the truth that everything is held against; `cameras`, `phone`,
`desks` and `laptop` are the world around the product; `operator` works it through a browser by
keyboard alone; `verdict` and `debrief_truth` compare what came of it with the script.
"""
