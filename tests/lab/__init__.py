"""The stated generator of laboratory data: sled runs, static pulls, cycle and torque logs of the invented scenario.

Everything here is computed from the parameters that stand beside it, with a seed, by plain arithmetic on doubles alone:
no sine, exponential or power is taken, so that the bytes are the same on every machine. No number here is of a real test.
"""
