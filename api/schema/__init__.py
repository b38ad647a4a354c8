"""What the contract looks like to a program: descriptions only, nothing is parsed with them."""
