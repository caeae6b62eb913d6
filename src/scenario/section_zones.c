/* Ice and dye: lists of zones, or `none`. */
#include <stdio.h>
#include <string.h>

#include "data/ices.h"
#include "scenario/areas.h"
#include "scenario/estimate.h"
#include "scenario/own.h"
#include "scenario/sections.h"

#define MOST_NAMES     128
#define SPHERE_OF_CUBE 1.2407 /* diameter of the sphere of equal volume / edge: (6/pi)^(1/3) */

static const thaw_rule ICE_MASS = {"ice.mass", THAW_MASS, 0.0, 200.0, true, "above 0 g, to 200 kg"};
static const thaw_rule ICE_SIZE = {"ice.size", THAW_LENGTH, 0.0005, 0.3, false, "0.5 mm to 30 cm"};
static const thaw_rule ICE_START = {"ice.temperature",   THAW_TEMPERATURE, 233.15, 273.15, false,
                                    "-40 degC to 0 degC"};
static const thaw_rule DYE_MASS = {"dye.mass", THAW_MASS, 0.0, 1.0, true, "above 0 g, to 1 kg"};
static const thaw_rule CLUMPS = {"dye.clumps", THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"};

static const thaw_ice_kind *read_kind(const thaw_reader *reader, const yaml_node_t *node)
{
    const char *names[MOST_NAMES];
    int n = thaw_ices_count() < MOST_NAMES ? thaw_ices_count() : MOST_NAMES;
    for (int i = 0; i < n; i++) {
        names[i] = thaw_ices_at(i)->name;
    }
    int found = thaw_reader_word(reader, node, "ice.kind", names, n);
    return found >= 0 ? thaw_ices_at(found) : NULL;
}

/* A name, or a mixture with its parts. */
static const thaw_colour *read_colour(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf,
                                      thaw_own_colour *mixed)
{
    const char *names[MOST_NAMES];
    if (node->type == YAML_MAPPING_NODE) {
        return thaw_own_mix(reader, node, "dye.colour", shelf, mixed);
    }
    int n = thaw_shelf_colour_names(shelf, names, MOST_NAMES);
    int found = thaw_reader_word(reader, node, "dye.colour", names, n);
    const thaw_colour *colour = found >= 0 ? thaw_shelf_find_colour(shelf, names[found]) : NULL;
    return colour && colour->n_parts > 0 ? colour : NULL;
}

static thaw_origin given(bool is_given, thaw_origin otherwise)
{
    return is_given ? THAW_FROM_FILE : otherwise;
}

/* The `size` of a cube is its edge, of other ice its diameter. */
static void read_size(const thaw_reader *reader, const yaml_node_t *node, thaw_ice_zone *zone,
                      thaw_origin *origin)
{
    double size_m = 0.0;
    bool is_given = thaw_reader_quantity(reader, node, &ICE_SIZE, &size_m);
    *origin = given(is_given, THAW_FROM_ICE);
    if (is_given && zone->kind) {
        bool cube = strcmp(zone->kind->name, "cubes") == 0;
        zone->diameter_m = cube ? size_m * SPHERE_OF_CUBE : size_m;
    }
}

static void read_ice_zone(const thaw_reader *reader, const yaml_node_t *node,
                          thaw_scenario *scenario, int at)
{
    enum { KIND, MASS, AREA, SIZE, START, DIAMETER, N };
    static const char *const keys[N] = {"kind", "mass", "area", "size", "temperature", "diameter"};
    yaml_node_t *values[N];
    thaw_ice_zone *zone = &scenario->spec.ice[at];
    thaw_origins *origins = &scenario->origins;
    zone->area = thaw_areas_all();
    if (!thaw_reader_map(reader, node, "ice", keys, N, values)) {
        return;
    }
    if (!values[KIND]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "ice.kind", "kind: cubes");
    }
    if (!values[MASS]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "ice.mass", "mass: 2 kg");
    }
    zone->kind = values[KIND] ? read_kind(reader, values[KIND]) : NULL;
    zone->diameter_m = zone->kind ? zone->kind->diameter_m : 0.0;
    zone->start_k = zone->kind ? zone->kind->start_k : 0.0;
    thaw_reader_quantity(reader, values[MASS], &ICE_MASS, &zone->mass_kg);
    origins->ice[at].area =
        given(thaw_areas_read(reader, values[AREA], "ice.area", &zone->area), THAW_FROM_DEFAULT);
    read_size(reader, values[SIZE], zone, &origins->ice[at].size);
    if (values[SIZE] && values[DIAMETER]) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[DIAMETER]), "keep one of the two",
                        "ice: `size` and `diameter` say the same");
    } else if (thaw_reader_quantity(reader, values[DIAMETER], &ICE_SIZE, &zone->diameter_m)) {
        origins->ice[at].size = THAW_FROM_FILE;
    }
    origins->ice[at].temperature = given(
        thaw_reader_quantity(reader, values[START], &ICE_START, &zone->start_k), THAW_FROM_ICE);
}

static void read_dye_zone(const thaw_reader *reader, const yaml_node_t *node,
                          thaw_scenario *scenario, int at)
{
    enum { COLOUR, MASS, AREA, LUMPS, N };
    static const char *const keys[N] = {"colour", "mass", "area", "clumps"};
    yaml_node_t *values[N];
    thaw_dye_zone *zone = &scenario->spec.dye[at];
    thaw_origins *origins = &scenario->origins;
    zone->area = thaw_areas_all();
    zone->clumping = 0.5;
    if (!thaw_reader_map(reader, node, "dye", keys, N, values)) {
        return;
    }
    if (!values[COLOUR]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "dye.colour", "colour: turquoise");
    }
    if (!values[MASS]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "dye.mass", "mass: 5 g");
    }
    zone->colour = values[COLOUR] ? read_colour(reader, values[COLOUR], scenario->shelf, &scenario->shelf->mixed[at])
                                  : NULL;
    thaw_reader_quantity(reader, values[MASS], &DYE_MASS, &zone->mass_kg);
    origins->dye[at].area =
        given(thaw_areas_read(reader, values[AREA], "dye.area", &zone->area), THAW_FROM_DEFAULT);
    origins->dye[at].clumps = given(
        thaw_reader_quantity(reader, values[LUMPS], &CLUMPS, &zone->clumping), THAW_FROM_DEFAULT);
}

typedef void zone_reader(const thaw_reader *, const yaml_node_t *, thaw_scenario *, int);

/* Number of zones; 0 for `none`. */
static int read_zones(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                      int most, zone_reader *read_zone, thaw_scenario *scenario)
{
    yaml_node_t *items[THAW_MAX_DYE_ZONES];
    if (node->type == YAML_SCALAR_NODE &&
        strcmp((const char *)node->data.scalar.value, "none") == 0) {
        return 0;
    }
    int n = thaw_reader_list(reader, node, where, most, items);
    if (n <= 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "start each entry with `- `, or write `none`", "%s: a list is wanted here",
                        where);
        return 0;
    }
    for (int i = 0; i < n; i++) {
        read_zone(reader, items[i], scenario, i);
    }
    return n;
}

void thaw_section_ice(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                      thaw_scenario *scenario)
{
    if (!node) {
        thaw_reader_missing(reader, whole, "ice", "ice: [{ kind: cubes, mass: 2 kg }]");
        return;
    }
    scenario->spec.n_ice =
        read_zones(reader, node, "ice", THAW_MAX_ICE_ZONES, read_ice_zone, scenario);
}

void thaw_section_dye(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                      thaw_scenario *scenario)
{
    if (!node) {
        thaw_reader_missing(reader, whole, "dye", "dye: [{ colour: turquoise, mass: 5 g }]");
        return;
    }
    scenario->spec.n_dye =
        read_zones(reader, node, "dye", THAW_MAX_DYE_ZONES, read_dye_zone, scenario);
    int n = thaw_estimate_run(&scenario->spec).components;
    if (n > THAW_MAX_COMPONENTS) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "leave some colours out",
                        "dye: %d different dyes; at most %d are followed", n, THAW_MAX_COMPONENTS);
    }
}
