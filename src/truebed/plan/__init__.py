"""Given to plan: one pure, deterministic function, and the why of every figure."""
