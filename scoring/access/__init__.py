"""The doors to readings and alerts, built on those of yards."""
