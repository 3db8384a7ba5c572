"""From readings to the road's surface and the frame set true in it."""
