"""What the templates of scoring may call."""
