"""The command line: one screen of commands, no arithmetic."""
