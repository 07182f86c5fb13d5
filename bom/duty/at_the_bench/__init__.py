"""What a bench does with it: which checks come first, what to add at a load, which relay lies there."""
