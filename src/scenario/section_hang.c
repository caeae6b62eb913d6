/* Cloth that is led out of the bundle over an edge. */
#include <math.h>
#include <stdio.h>

#include "scenario/sections.h"

#define LEAST_M 0.05     /* of cloth in the bundle, and of cloth that hangs */
#define ROUNDING_M 1e-9

/* Some cloth stays in the bundle and some hangs. */
static thaw_rule from_rule(double length_m, char *allowed, size_t size)
{
    thaw_rule rule = {"hang.from", THAW_LENGTH, LEAST_M, 10.0, false, allowed};
    if (length_m > 2.0 * LEAST_M) {
        rule.highest = length_m - LEAST_M;
        snprintf(allowed, size, "5 cm to %.4g cm for this length", 100.0 * rule.highest);
    } else {
        snprintf(allowed, size, "5 cm to 10 m");
    }
    return rule;
}

/* A way along the hanging cloth, at most what there is of it. */
static thaw_rule way_rule(const char *name, double most_m, char *allowed, size_t size)
{
    snprintf(allowed, size, "0 cm to %.4g cm, the cloth that is left to hang", 100.0 * most_m);
    return (thaw_rule){name, THAW_LENGTH, 0.0, most_m + ROUNDING_M, false, allowed};
}

/* A tie lies on cloth that hangs, its band of 2 cm too. */
static thaw_rule tie_rule(double length_m, double from_m, char *allowed, size_t size)
{
    const double low_m = from_m + 0.01, high_m = length_m - 0.01;
    snprintf(allowed, size, "%.4g cm to %.4g cm from the dyed end, where the cloth hangs", 100.0 * low_m, 100.0 * high_m);
    return (thaw_rule){"hang.tie", THAW_LENGTH, low_m - ROUNDING_M, high_m + ROUNDING_M, false, allowed};
}

void thaw_section_hang(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    enum { FROM, UP, DOWN, TIE, N };
    static const char *const keys[N] = {"from", "up", "down", "tie"};
    yaml_node_t *values[N];
    char allowed[120];
    const double length_m = scenario->spec.length_m;
    thaw_hang hang = {.is_set = true};
    if (!node || !thaw_reader_map(reader, node, "hang", keys, N, values)) {
        return;
    }
    if (!values[FROM]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "hang.from", "from: 60 cm");
    }
    if (!values[UP]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "hang.up", "up: 40 cm");
    }
    thaw_rule rule = from_rule(length_m, allowed, sizeof allowed);
    if (!thaw_reader_quantity(reader, values[FROM], &rule, &hang.from_m) || !(length_m > hang.from_m)) {
        return; /* without it nothing is known of the rest */
    }
    double left_m = length_m - hang.from_m;
    rule = way_rule("hang.up", left_m, allowed, sizeof allowed);
    if (!thaw_reader_quantity(reader, values[UP], &rule, &hang.up_m)) {
        return;
    }
    left_m = fmax(0.0, left_m - hang.up_m);
    hang.down_m = left_m;
    rule = way_rule("hang.down", left_m, allowed, sizeof allowed);
    if (thaw_reader_quantity(reader, values[DOWN], &rule, &hang.down_m)) {
        scenario->origins.hang_down = THAW_FROM_FILE;
    }
    rule = tie_rule(length_m, hang.from_m, allowed, sizeof allowed);
    thaw_reader_quantity(reader, values[TIE], &rule, &hang.tie_m);
    scenario->spec.hang = hang;
}
