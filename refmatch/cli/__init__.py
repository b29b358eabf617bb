"""The command line: one screen for each command, no arithmetic."""
