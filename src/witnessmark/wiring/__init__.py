"""Sizing a repair that does not burn again: wire, fuse, joint.

Sizes and their copper, amps and drop of a wire, the fuse's time-current band against the wire's
heating, the heat in a bad joint, the volts that a repaired circuit loses, and how joints are made.
`repair` answers a whole repair in one sentence.
"""
