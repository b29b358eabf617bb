"""From reflectance to the numbers and words of colour: one grid, one way to Lab."""
