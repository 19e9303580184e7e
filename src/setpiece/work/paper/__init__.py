"""What is printed: pages of A4 in our type, and our drawings on them."""
