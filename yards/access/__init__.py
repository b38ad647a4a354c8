"""The doors: who somebody is, and which rows they may hold."""
