"""The demo works: an invented town, made from a stated truth plus reading noise."""
