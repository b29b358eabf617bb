"""What a painter can ask for: the command line and the page call only these."""
