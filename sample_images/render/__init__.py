"""The scenes, the camera and the truth behind the sample images."""
