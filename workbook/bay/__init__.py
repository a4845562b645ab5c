"""The practice bay: the whole job on the invented Kestrin 5, as a log of acts.

A job is a log. Each act is one plain line, a table of what was done; the state after
it follows from the state before it by `do`, which is pure, so that ``replay(log)``
is the job. Nothing is scripted: the metal moves as `workbook.mechanics.metal.front`
has it, each ram as the linkage, the pressure as the supply, what holds the body as
the anchoring, each part's share as the load path, and readings are read from the
metal with a measurer's scatter and laid over the specified points.

An act that cannot be done is refused by a sentence and is in no log. One that can be
done and must not be is done: it stands in the log, is a `Fault`, and what the model
says of the part happens.

Acts and what each takes (``?`` may be left out; names are those of the floor, the
shop and the survey):

===========  ==========================================================  ==========
act          takes                                                       on paper
===========  ==========================================================  ==========
begin        version, rating_margin, zone_half_angle_deg                 no
story        kinds, order, stoppers                                      yes
make_safe    what                                                        no
survey       base?                                                       no
clamp        station; unclamp the same                                   yes
tie          name, station, post; untie: name                            yes
stand        side; take_stand the same                                   yes
crossmember  on                                                          no
set_out      ram, part, socket, fork, slot, extension?, chain, links,    yes
             head, clamp, place
strip        ram or holding chain                                        yes
hold         name, place, post, chain, clamp                             yes
cable        name, of, to, loose                                         yes
people       at                                                          yes
call         step                                                        no
valve        ram, open                                                   no
take_up      -                                                           no
look         -                                                           no
pump         air_bar                                                     no
stop         who                                                         no
release      -                                                           no
relieve      side, hinges, share                                         no
answer       step, item, typed                                           yes
record       field, text                                                 yes
undo         -                                                           -
===========  ==========================================================  ==========

What is a choice on paper can be undone, back to the last act that is not. Nothing
un-bends metal.
"""
