"""The nouns of the job, frozen: one file per noun, no behaviour beyond checking their own shape."""
