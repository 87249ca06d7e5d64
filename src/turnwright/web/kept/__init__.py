"""Pages of what exists and what was decided: jobs kept, compared, computed again; lists of stock; offers.

::

    routes     addresses -> what answers them
    jobs       list, history, one revision, recheck
    saving     a job kept from the working page; where somebody saved meanwhile, both sides put together
    comparing  two jobs, or one under another edition, regime, date
    stock      a list of units on hand, its columns as they are meant, what of it does the job
    offers     an offer line by line against the specification
"""
