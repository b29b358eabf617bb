"""The canvas beside its reference: squared, laid over it, judged mass by mass and hole by hole."""
