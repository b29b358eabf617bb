"""From a photo that was read to the spots that a calibration takes: dabs, and known surfaces."""
