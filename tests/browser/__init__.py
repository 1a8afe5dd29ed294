"""The pages as a browser shows them, opened from disk, their content security policy in force unless it is said."""
