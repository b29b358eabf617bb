"""The studio: paintings kept open and worked on step by step, as the page does."""
