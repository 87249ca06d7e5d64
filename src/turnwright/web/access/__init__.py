"""Who may come in, where the pages answer to more than this machine.

::

    setting    what serve was told -> how it answers, or why it does not start
    passwords  the file of names and hashed passwords
    attempts   how often a password may be tried
    sessions   who has signed in
    gate       stands before the application and lets in whoever may come in

On this machine alone nobody signs in: whoever can reach the port can start the same program.
"""
