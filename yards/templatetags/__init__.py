"""What the templates of yards may call."""
