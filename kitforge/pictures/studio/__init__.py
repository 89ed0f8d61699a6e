"""Pictures that look like photographs: a camera with perspective, a soft lamp, the sky, and wood as a solid."""
