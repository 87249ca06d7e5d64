"""Heat of dry types: losses, efficiency, hot spot, ageing, overload, derating, air, harmonics, sound, cost.

Each calculation stands in the module of its subject and is imported from there::

    losses, efficiency, factory_tests   what is lost, and what tests tell of it
    rise, classes, ageing               how hot it gets, and what that does to its life
    profile, overload                   loads that change in time
    nameplate                           all of it from a nameplate
    derating, harmonic_loss             what a place and a current leave of the rated power
    heat, sound, cost                   what the surroundings get, and what it costs
"""
