"""The closure as tasks and lags; solve, the hand way, and a check that shares nothing with solve."""
