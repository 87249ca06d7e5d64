"""Questions asked of a network, each in the module of its subject and imported from there.

fault, motor_start, unbalance, harmonics, parallel, regulation
"""
