"""What can be asked of the server: a list of routes for each area."""
