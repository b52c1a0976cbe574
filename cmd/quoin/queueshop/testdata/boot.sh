#!/bin/sh
# Starts systemd over a throw-away layer of this machine's files, with nothing but
# the units of a folder and the program: boot.sh LAYER UNITS PROGRAM. It is to be
# called in namespaces of its own (mount, PID, network, cgroup); what it mounts and
# writes goes with them.
set -e
mount --make-rprivate /
mount -t tmpfs tmpfs "$1"
mkdir "$1/upper" "$1/work" "$1/root"
cp -r "$2" "$1/units"
cp "$3" "$1/quoin"
mount -t overlay overlay -o "lowerdir=/,upperdir=$1/upper,workdir=$1/work" "$1/root"
cd "$1/root"
mount -t proc proc proc
mount --rbind /sys sys
mount -t tmpfs -o mode=755 tmpfs sys/fs/cgroup
mkdir sys/fs/cgroup/systemd
mount -t cgroup -o none,name=systemd cgroup sys/fs/cgroup/systemd || mount -t cgroup2 cgroup2 sys/fs/cgroup
mount -t tmpfs -o mode=755 tmpfs dev
for n in null:1:3 zero:1:5 full:1:7 random:1:8 urandom:1:9 tty:5:0; do
	mknod -m 666 "dev/${n%%:*}" c "$(echo "$n" | cut -d: -f2)" "${n##*:}"
done
ln -s /proc/self/fd dev/fd
mkdir dev/shm
mount -t tmpfs -o mode=755 tmpfs run
mount -t tmpfs tmpfs tmp
# Of this machine's own services none is started.
rm -rf etc/systemd/system
mkdir -p etc/systemd/system etc/quoin
cp "$1"/units/*.service etc/systemd/system/
cp "$1/quoin" usr/local/bin/quoin
# Credentials are mounted by a child and must reach the services.
mount --make-rshared "$1/root"
exec chroot . /usr/bin/env -i container=oci PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin \
	/lib/systemd/systemd --system --unit=basic.target --log-target=null --show-status=false
