"""The launcher behind ``deploy/start`` and ``deploy/test``. Standard library only.

bootstrap   the locked Python environment
mode        how a server is kept unprivileged
postgres, valkey, mailbox   the servers, on Unix sockets of their own; nothing else is touched
servers     the three together: ``with servers.running(folder) as up``
house       web, worker and beat: ``with house.serving(up.environ, folder) as home``
start, checks   the two commands
"""
