"""Results to SVG and DXF; no computation."""
