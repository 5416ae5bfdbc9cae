#!/usr/bin/env bash
# Files a card onto disks that really fail: one that fills up, one that is read-only, a folder without permission, a FAT
# image. After each: a clear message, nothing lost, and filing goes on once it is put right.
# usage: real_faults_filing.sh ENDLEAF CARD   (as root; what may not be mounted here is said to be skipped)
set -euo pipefail
endleaf="$(realpath "$1")"
card="$(realpath "$2")"

# In a mount namespace of its own, so that nothing stays mounted.
if [ "${ENDLEAF_FAULTS_INSIDE:-}" != 1 ]; then
    if unshare --mount true 2>/dev/null; then
        exec env ENDLEAF_FAULTS_INSIDE=1 unshare --mount "$0" "$@"
    fi
    echo "skipped: no mount namespace is permitted here"
fi

scratch="$(mktemp -d)"
trap 'cd /; umount "$scratch/disk" 2>/dev/null || true; rm -rf "$scratch"' EXIT
mkdir "$scratch/disk"
disk="$scratch/disk"
before="$(cd "$card" && find . -type f -printf '%p %s %T@ %m\n' -exec sha256sum {} + | sort)"

# Files the card; prints what was said when that fails as it should.
file_to() { ENDLEAF_HOME="$scratch/home-$2" "$endleaf" file "$card" --into "$1" >"$scratch/out" 2>"$scratch/said"; }
fails() {
    if file_to "$1" "$2"; then echo "filing did not fail: $2"; exit 1; fi
    grep -Eq "$3" "$scratch/said" || { echo "not said “$3”:"; cat "$scratch/said"; exit 1; }
    ! grep -q 'os error' "$scratch/said"
    echo "$2: $(tail -n 1 "$scratch/said" | cut -c1-150)"
}
whole() {
    file_to "$1" "$2" || { cat "$scratch/said"; exit 1; }
    ( cd "$1"/*/ && sha256sum --check --strict --quiet manifest-sha256.txt )
    "$endleaf" audit "$1" >"$scratch/audit" || { cat "$scratch/audit"; exit 1; }
    echo "$2: whole in the end; $(tail -n 1 "$scratch/audit" | sed 's/^Archive [0-9a-f]*: //')"
}

if mount -t tmpfs -o size=8m tmpfs "$disk" 2>/dev/null; then
    # What lies there already is larger than the disk's rest, and less than is asked for beforehand is free.
    bytes="$(du -sb "$card" | cut -f1)"
    mount -o "remount,size=$((bytes / 1024 + 1024))k" "$disk"
    head -c $((900 * 1024)) /dev/zero >"$disk/others"
    fails "$disk/archive" "a disk that fills" 'full|too little room'
    rm "$disk/others"
    mount -o remount,size=64m "$disk"
    whole "$disk/archive" "a disk that fills"
    mount -o remount,ro "$disk"
    fails "$disk/new" "a read-only disk" 'write-protected'
    umount "$disk"
else
    echo "skipped: a disk that fills, a read-only disk: no tmpfs may be mounted here"
fi

if [ "$(id -u)" = 0 ] && setpriv --reuid=65534 --clear-groups true 2>/dev/null; then
    mkdir "$scratch/locked" "$scratch/home-locked"
    chmod 755 "$scratch" "$scratch/locked"
    chown 65534 "$scratch/home-locked"
    touch "$scratch/out" "$scratch/said"
    program="$endleaf"
    cp "$program" "$scratch/endleaf" && chmod 755 "$scratch/endleaf"
    cp -a "$card" "$scratch/card" && chmod -R a+rX "$scratch/card"
    if ENDLEAF_HOME="$scratch/home-locked" setpriv --reuid=65534 --clear-groups "$scratch/endleaf" file "$scratch/card" \
        --into "$scratch/locked/archive" >"$scratch/out" 2>"$scratch/said"; then
        echo "filing did not fail: a folder without permission"; exit 1
    fi
    grep -q 'the permission for it is missing' "$scratch/said" || { cat "$scratch/said"; exit 1; }
    [ -z "$(ls -A "$scratch/locked")" ]
    echo "a folder without permission: said, and nothing left in it"
else
    echo "skipped: a folder without permission: no other user can be taken on here"
fi

image="$scratch/fat.img"
truncate -s 64M "$image"
if command -v mkfs.vfat >/dev/null && mkfs.vfat "$image" >/dev/null 2>&1 && mount -o loop "$image" "$disk" 2>/dev/null; then
    whole "$disk/archive" "a FAT disk"
    ENDLEAF_HOME="$scratch/home-a FAT disk" "$endleaf" undo "$disk/archive" >/dev/null
    [ "$(find "$disk/archive" -type f ! -name endleaf-journal.txt | wc -l)" -eq 0 ]
    echo "a FAT disk: taken back"
    umount "$disk"
else
    echo "skipped: a FAT disk: no FAT image may be made or mounted here"
fi

after="$(cd "$card" && find . -type f -printf '%p %s %T@ %m\n' -exec sha256sum {} + | sort)"
[ "$before" = "$after" ] || { echo "the card was changed"; exit 1; }
echo "the card is as it was, bit for bit"
