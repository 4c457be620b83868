#!/bin/sh
# What a double click on the bundle starts: from its place in the bundle, in the home
# folder.
here=$(dirname "$0")
cd "$HOME" || exit 1
exec "$here/strew" page
