"""What is in the road: planes, the section's outlines, the cut-out, the solids between them."""
