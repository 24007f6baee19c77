"""The gauge card: where its tags stand, what their squares say, and the sheet that is printed."""
