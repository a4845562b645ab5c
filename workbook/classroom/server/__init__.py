"""The class server: one machine on which a whole class works, on JupyterHub.

`start` is what an instructor calls; it checks, makes the `seats` and runs the engine
with the `settings` here: who may come in (`codes`), and as whom each student's
programs run (`spawner`). `collect` takes in what was answered.
"""
