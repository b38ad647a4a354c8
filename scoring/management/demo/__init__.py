"""The demo scenario: an invented year, lived through the real actions."""
