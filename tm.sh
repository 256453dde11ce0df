S=/tmp/me/knitter-scratch
open(){ # name db now w h
tmux new-session -d -s $1 -x $4 -y $5 "cd /work/main; PYTHONDONTWRITEBYTECODE=1 INSTEP_BASKET=$S/$2.db INSTEP_NOW=$3 /work/main/.venv/bin/python -m tracker knit night-ferry; sleep 100"; sleep 3; }
k(){ local s=$1; shift; for x in "$@"; do tmux send-keys -t $s "$x"; done; sleep 1.2; }
p(){ tmux capture-pane -p -t $1; }
