"""The store: what is kept in a database."""
