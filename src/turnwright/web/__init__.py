"""The pages and the interface for programs: the same engine in a browser, on this machine.

::

    app      addresses -> what answers them
    guard    how much may be asked, how long, by which site; what a browser may do with the answer
    access   who may come in, where the pages answer to more than this machine
    work     answers are computed in worker processes, bounded in time and memory
    api      the interface for programs
    job      the working page: form -> job file -> answer -> page
    vet_page, reference_pages, papers   the other pages, and the papers to take away
    render   templates -> HTML

Nothing is kept between two requests: the job file travels in the form.
"""
