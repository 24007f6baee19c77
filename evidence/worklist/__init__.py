"""Many jobs at one look: the grid of vehicles and steps, and the punch list of whoever has something to do."""
