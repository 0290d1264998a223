"""Quality: what the drawing asks for, how well it is kept, and what missing it costs."""
