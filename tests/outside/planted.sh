#!/bin/sh
# Plants one fault after the other into a scratch copy of the program and tells which outside checks see it.
# By hand only: sh tests/outside/planted.sh [FAULT...]; it takes about half an hour. To save time a fault is
# shown to the test programs named beside it, not to all. Exit 1 if a fault goes unseen.
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export OMP_WAIT_POLICY=passive
unseen=0

known="latent_heat gravity_sign plain_upwinding no_sorption activation_energy illuminant_a upwind_dye no_evaporation lost_drip"

# Changes sources below src/, and sets `tests` to the programs that look at it.
plant() {
    case $1 in
    nothing) # to know that what fails later fails by the fault
        tests="calibration_test water_air_test melt_test wicking_test strip_test dye_test dye_carry_test colour_test books_test"
        ;;
    latent_heat)
        tests="calibration_test water_air_test melt_test"
        sed -i 's/\(THAW_LATENT_FUSION_J_KG *\)333427\.0/\1366769.7/' src/data/water.h
        ;;
    gravity_sign)
        tests="wicking_test strip_test"
        sed -i -e 's/(z_m\[k\] - z_m\[k + 1\])/(z_m[k + 1] - z_m[k])/' \
            -e 's/(z_m\[k\] - z_m\[k + nx\])/(z_m[k + nx] - z_m[k])/' \
            -e 's/(z_m\[k\] - z_m\[web->below\[k\]\])/(z_m[web->below[k]] - z_m[k])/' src/sim/web.c
        ;;
    plain_upwinding) # the conductivity of the cell that water comes from, times the slope of the head
        tests="wicking_test strip_test"
        sed -i -e '/^static inline double secant/i\
static inline double upwind(double pa, double pb, double ka, double kb, double z)\
{\
    double head = (pb - pa) + z;\
    return (head > 0.0 ? ka : kb) * head;\
}\
' -e 's/((u\[\([^]]*\)\] - u\[\([^]]*\)\]) + kab \* web->\(z[xyl]\)\[\([ac]\)\])/upwind(p[\1], p[\2], k[\1], k[\2], web->\3[\4])/' \
            src/sim/web.c
        ;;
    no_sorption)
        tests="dye_carry_test"
        sed -i 's/+ kd \* hold\[k\]/+ 0.0 * kd * hold[k]/' src/sim/uptake.c src/sim/solutes.c
        ;;
    activation_energy)
        tests="dye_test"
        sed -i 's/= 84e3,/= 42e3,/' src/data/dyes.c
        ;;
    illuminant_a) # CIE 15: Planck's law with 1.435e-2 m K and 2848 K, 100 at 560 nm
        tests="colour_test"
        awk '
            function planck(nm) { return nm ^ -5 / (exp(1.435e7 / (2848 * nm)) - 1) }
            /^    \{[0-9]+\.0, / { split($0, at, ", "); nm = substr(at[1], 6) + 0
                $0 = at[1] ", " at[2] ", " at[3] ", " at[4] ", " 100 * planck(nm) / planck(560) ", " at[6] }
            { print }' src/data/observer.c >src/data/observer.new
        mv src/data/observer.new src/data/observer.c
        ;;
    upwind_dye)
        tests="dye_carry_test"
        sed -i 's/return b + positive(1\.0f - nu) \* slope;/return b + 0.0f * nu * slope;/' src/sim/carry_rows.h
        ;;
    no_evaporation)
        tests="calibration_test water_air_test melt_test"
        sed -i 's/q\.latent = weather->covered ?/q.latent = weather->covered || 1 ?/' src/sim/weather.c
        ;;
    lost_drip)
        tests="books_test"
        sed -i '/d->missed_kg += lost \* d->flow_kg\[p\];/d' src/sim/drip.c
        ;;
    *)
        echo "no fault named $1; there are: $known" >&2
        exit 2
        ;;
    esac
}

# The tests of the programs given, as ctest sees them: those that fail.
failing() {
    pattern=$(printf '%s' "$*" | tr ' ' '|')
    ctest --test-dir "$scratch/build" -L outside -L "^($pattern)\$" --timeout 900 2>&1 |
        awk '/^[ \t]*[0-9]+ - .*\((Failed|Timeout|SEGFAULT|Subprocess aborted)\)/ { print "    " $3, $4 }'
}

cd "$scratch"
for part in CMakeLists.txt LICENSE README.md docs include src tests scenarios; do
    cp -r "$root/$part" .
done
cp -r src clean
cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DTHAW_DEVELOPER=OFF >/dev/null
for fault in nothing ${*:-$known}; do
    tests=""
    plant "$fault"
    if [ "$fault" != nothing ] && diff -r clean src >/dev/null; then
        echo "$fault: the source has changed, nothing was planted" >&2
        exit 2
    fi
    # shellcheck disable=SC2086 # one word a program
    cmake --build build --target $tests >build.log 2>&1 || { tail -20 build.log >&2; exit 2; }
    # shellcheck disable=SC2086
    seen=$(failing $tests)
    echo "$fault (shown to $tests): $(printf '%s\n' "$seen" | grep -c .) fail"
    if [ -n "$seen" ]; then
        printf '%s\n' "$seen"
    elif [ "$fault" != nothing ]; then
        unseen=1
    fi
    if [ "$fault" = nothing ] && [ -n "$seen" ]; then
        echo "these fail without a fault: nothing can be said" >&2
        exit 2
    fi
    # Only what was changed, or all of it would be compiled again.
    diff -rq clean src | while read -r _ from _ to _; do
        cp "$from" "$to"
    done
done
exit "$unseen"
