"""All that a works folder gives: frozen types, the columns of its files, and how its bytes become values."""
