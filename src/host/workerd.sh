#!/bin/sh
# Starts the Workers runtime so that it ends with the process that started it, even one ended by
# kill -9. Otherwise an orphaned runtime keeps the port and the database, and a restart finds both
# taken. setpriv is part of util-linux; without it the runtime starts unguarded.

# Where files may not grow past a limit, a write beyond it is an error to be answered, as on a full disk,
# and not the end of the runtime.
trap '' XFSZ
if setpriv --pdeathsig KILL true 2>/dev/null; then
  exec setpriv --pdeathsig KILL "$GYLEWARD_WORKERD" "$@"
fi
exec "$GYLEWARD_WORKERD" "$@"
