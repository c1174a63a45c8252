# A real Slurm of one machine in a scratch folder. To be sourced, with `scratch` set to an empty folder. Needs root, and
# the packages slurm-wlm and munge. POSIX sh.

# Starts munged, slurmctld and slurmd, and waits until the node takes jobs.
start_cluster() {
  host=$(hostname -s)
  port=$((20000 + $$ % 20000))
  mkdir -p "$scratch/state" "$scratch/spool"
  chmod 755 "$scratch"
  dd if=/dev/urandom of="$scratch/munge.key" bs=128 count=1 2>/dev/null
  chmod 400 "$scratch/munge.key"
  munged --force --key-file="$scratch/munge.key" --socket="$scratch/munge.socket" --pid-file="$scratch/munged.pid" \
    --log-file="$scratch/munged.log" --seed-file="$scratch/munge.seed"
  cat >"$scratch/slurm.conf" <<CONF
ClusterName=scratch
SlurmctldHost=$host(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket=$scratch/munge.socket,cred_expire=6
SlurmctldPort=$port
SlurmdPort=$((port + 1))
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
SchedulerParameters=sched_min_interval=100000,batch_sched_delay=0
MinJobAge=600
KillWait=2
StateSaveLocation=$scratch/state
SlurmdSpoolDir=$scratch/spool
SlurmctldPidFile=$scratch/slurmctld.pid
SlurmdPidFile=$scratch/slurmd.pid
SlurmctldLogFile=$scratch/slurmctld.log
SlurmdLogFile=$scratch/slurmd.log
MailProg=/bin/true
ReturnToService=2
NodeName=$host NodeAddr=127.0.0.1 CPUs=$(nproc) RealMemory=1000 State=UNKNOWN
PartitionName=test Nodes=$host Default=YES MaxTime=INFINITE State=UP
CONF
  export SLURM_CONF="$scratch/slurm.conf"
  slurmctld
  slurmd
  for _ in $(seq 1 300); do
    case $(sinfo -h -o %T 2>/dev/null) in *idle*) return 0 ;; esac
    sleep 0.1
  done
  tail -n 20 "$scratch/slurmctld.log" "$scratch/slurmd.log" "$scratch/munged.log" >&2
  echo "the cluster did not start" >&2
  return 1
}

# Ends all jobs and what start_cluster began, by the process numbers it left.
stop_cluster() {
  if squeue -h -o %A 2>/dev/null | sort -u | xargs -r scancel 2>/dev/null; then wait_for_jobs 10 || true; fi
  for daemon in slurmd slurmctld munged; do
    [ ! -s "$scratch/$daemon.pid" ] || kill "$(cat "$scratch/$daemon.pid")" 2>/dev/null || true
  done
  for _ in $(seq 1 100); do
    still=
    for daemon in slurmd slurmctld munged; do [ ! -e "$scratch/$daemon.pid" ] || still=yes; done
    [ -n "$still" ] || return 0
    sleep 0.1
  done
}

# Waits until no job is left, at most $1 seconds.
wait_for_jobs() {
  for _ in $(seq 1 $(($1 * 5))); do
    [ -n "$(squeue -h 2>/dev/null)" ] || return 0
    sleep 0.2
  done
  squeue >&2
  echo "jobs did not end within $1 s" >&2
  return 1
}
