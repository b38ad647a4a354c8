"""The demo scenario: two invented years, lived through the real actions."""
