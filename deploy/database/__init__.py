"""Django's own engine for PostgreSQL, with the bounds of statements that the server binds."""
