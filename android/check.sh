#!/usr/bin/env bash
# What can be verified of the Android app without a phone and without Android's SDK and NDK, from packages alone (Debian,
# crates.io, PyPI): see README.md, "What was checked". As root, or as a user who may use sudo, on Debian on amd64.
#
#   android/check.sh          everything
#   android/check.sh host     only what runs on this computer: the camera's and the activity's tests, the API's names, the
#                             manifest
#
# CHECK_TARGET names the folder to build in; what is large in it is deleted at the end, unless CHECK_KEEP is set.
set -euo pipefail
cd "$(dirname "$0")/.."
. tests/set-up.sh
what=${1:-all}
work=${CHECK_TARGET:-${CARGO_TARGET_DIR:-$PWD/target}/android}
mkdir -p "$work"
work=$(cd "$work" && pwd)
began=$SECONDS
step() { echo "== $1 ($((SECONDS - began)) s)"; }

fresh() { rm -rf "$1" && mkdir -p "$1"; }

# ---- on this computer ----

step "tools"
need_packages gcc libc6-dev ca-certificates python3 python3-venv default-jdk-headless aapt android-framework-res
need_rust
framework=/usr/share/android-framework-res/framework-res.apk
java=android/app/src/main/java
resources=android/app/src/main/res

# The manifest as the Android build would make it of the project's: with the package's name, versions and systems. The
# framework at hand is of API 29 and lacks one newer attribute, which is checked as text.
step "the package's resources"
fresh "$work/package"
python3 android/check/manifest.py android "$work/package/AndroidManifest.xml"
fresh "$work/gen"
aapt package -f -m -J "$work/gen" -M "$work/package/AndroidManifest.xml" -S "$resources" -I "$framework" \
    -F "$work/package/resources.apk"
python3 -B android/check/read_back.py "$work/package/resources.apk" manifest

step "the activity's class"
fresh "$work/classes"
find android/check/fake "$java" "$work/gen" -name '*.java' -print0 |
    xargs -0 javac --release 17 -Xlint:all,-serial -Werror -d "$work/classes"

step "what the activity uses is in the published API"
if ! [ -x "$work/api/bin/python3" ]; then python3 -m venv "$work/api"; fi
"$work/api/bin/python3" -m pip install --quiet chaquopy-stubs-android==36.20260406
"$work/api/bin/python3" -B android/check/api.py "$work/classes"

step "camera and activity against stand-ins"
ANDROID_CHECK_CLASSES="$work/classes" CARGO_INCREMENTAL=0 CARGO_TARGET_DIR="$work/host" \
    cargo test --locked --manifest-path android/check/Cargo.toml
[ "$what" = host ] && exit

# ---- for the phone's processor ----

# Rust's library for Android is built from its source: a matching compiler, source and cargo come from Debian.
need_packages rustc-web cargo-web rust-web-src clang-19 lld-19 llvm-19 libc6-dev-arm64-cross linux-libc-dev-arm64-cross \
    zipalign apksigner
llvm=/usr/lib/llvm-19/bin
tools=$work/tools
fresh "$tools/bin"
mkdir -p "$tools/stubs"
# Stands for the NDK's clang: the right target, the wrong C library's headers. Good enough to see that C code compiles,
# never to ship it.
cat > "$tools/bin/cc" <<END
#!/bin/sh
exec $llvm/clang --target=aarch64-linux-android26 -mno-outline-atomics -D__errno_location=__errno -DSQLITE_DISABLE_LFS \\
    -isystem /usr/aarch64-linux-gnu/include "\$@"
END
# Links against empty libraries that have the system's names in them: what is not in those lists is not found. By its name
# Rust's compiler knows how to speak to it.
cat > "$tools/bin/clang" <<END
#!/bin/sh
exec $llvm/clang --target=aarch64-linux-android26 -fuse-ld=$llvm/ld.lld -nostartfiles -nodefaultlibs \\
    -L$tools/stubs "\$@"
END
for list in android/check/stubs/*.ifs; do
    "$llvm/llvm-ifs" --input-format=IFS --output-elf="$tools/stubs/$(basename "$list" .ifs)" "$list"
done
# Slint compiles a Java helper of its own when it is built. Nothing of it is looked at here.
printf '#!/bin/sh\n[ "$1" = -version ] && echo "javac 17.0.0"\nexit 0\n' > "$tools/bin/javac"
cat > "$tools/bin/java" <<'END'
#!/bin/sh
[ "$1" = -version ] && { echo 'openjdk version "17.0.0"' >&2; exit 0; }
out=.
while [ $# -gt 0 ]; do
    [ "$1" = --output ] && out=$2
    shift
done
: > "$out/classes.dex"
END
chmod +x "$tools"/bin/*
: > "$tools/android.jar"
: > "$tools/d8.jar"
export RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 RUSTC_WRAPPER=
export CC_aarch64_linux_android=$tools/bin/cc AR_aarch64_linux_android=$llvm/llvm-ar
export CARGO_TARGET_AARCH64_LINUX_ANDROID_LINKER=$tools/bin/clang
export CARGO_INCREMENTAL=0 CARGO_TARGET_DIR=$work/target
export CARGO_PROFILE_RELEASE_PANIC=abort CARGO_PROFILE_RELEASE_OPT_LEVEL=0 CARGO_PROFILE_RELEASE_STRIP=true
build=(--release --locked --lib --no-default-features --target aarch64-linux-android -Z "build-std=std,panic_abort")

step "the app as it ships, types alone"
# DOCS_RS keeps Skia's package from fetching its library.
DOCS_RS=1 JAVA_HOME=$tools ANDROID_JAR=$tools/android.jar ANDROID_D8_JAR=$tools/d8.jar \
    /usr/bin/cargo check "${build[@]}" --features android

step "the whole app, linked, drawn by software"
/usr/bin/cargo rustc "${build[@]}" --features android-check --crate-type cdylib -- \
    -C link-arg=-Wl,--soname,liblantern_ring.so -C link-arg=-Wl,--no-undefined
library=$work/target/aarch64-linux-android/release/liblantern_ring.so
"$llvm/llvm-readelf" --dyn-syms "$library" | grep -q ' ANativeActivity_onCreate$'
# Of the names in stubs/, one is newer than the oldest system: it may only be asked for weakly.
"$llvm/llvm-readelf" --dyn-syms "$library" | awk '$8 == "getrandom" && $5 != "WEAK" { bad = 1 } END { exit bad }'
"$llvm/llvm-readelf" --program-headers "$library" | awk '$1 == "LOAD" && $NF != "0x4000" { bad = 1 } END { exit bad }'

step "a package, aligned, signed and verified"
mkdir -p "$work/package/root/lib/arm64-v8a"
cp "$library" "$work/package/root/lib/arm64-v8a/"
raw=$work/package/raw.apk
apk=$work/package/lantern-ring-check.apk
aapt package -f -M "$work/package/AndroidManifest.xml" -S "$resources" -I "$framework" -F "$raw" -0 so "$work/package/root"
zipalign -f -p 4 "$raw" "$work/package/aligned.apk"
zipalign -c -p 4 "$work/package/aligned.apk"
rm -f "$work/package/throw-away.jks"
keytool -genkeypair -keystore "$work/package/throw-away.jks" -storepass throw-away -alias check -keyalg RSA -keysize 2048 \
    -validity 1 -dname "CN=Throw-away" 2>/dev/null
apksigner sign --ks "$work/package/throw-away.jks" --ks-pass pass:throw-away --out "$apk" "$work/package/aligned.apk"
apksigner verify --verbose --min-sdk-version 26 "$apk" | grep -E '^Verif|v[23] scheme'

step "the package read back"
python3 -B android/check/read_back.py "$apk"
ls -l "$apk"

if [ -z "${CHECK_KEEP:-}" ]; then
    rm -rf "$work/target" "$work/host" "$work/package/root" "$raw" "$work/package/aligned.apk"
fi
step "done"
