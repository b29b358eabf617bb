"""What a painter can ask for, whichever door the question comes through."""
