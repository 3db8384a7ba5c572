"""What is wrong at a cover, from its survey sheet, and what mends it."""
