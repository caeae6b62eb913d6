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

static const thaw_rule ICE_MASS = {"ice.mass", THAW_MASS, 0.0, 200.0, true, "above 0 g, to 200 kg; or a layer, `depth: 5 cm`"};
static const thaw_rule ICE_SIZE = {"ice.size", THAW_LENGTH, 0.0005, 0.3, false, "0.5 mm to 30 cm"};
static const thaw_rule ICE_START = {"ice.temperature",   THAW_TEMPERATURE, 233.15, 273.15, false,
                                    "-40 degC to 0 degC"};
static const thaw_rule ICE_DEPTH = {"ice.depth", THAW_LENGTH, 0.0, 0.5, true, "above 0 cm, to 50 cm; or by weight, `mass: 4 kg` or `mass: 9 lb`"};
static const thaw_rule ICE_AT = {"ice.at", THAW_TIME, 0.0, 14.0 * 86400.0, false, "0 h to 14 days"};
static const thaw_rule VOLUME_RULE = {"dye.volume", THAW_VOLUME, 1e-6, 0.02, false, "1 mL to 20 L"};
/* The least soluble dyes of the table take about so much warm water. */
static const thaw_rule STRENGTH_RULE = {"dye.strength", THAW_CONCENTRATION, 0.0, 100.0, true, "above 0 g/L, to 100 g/L"};

enum { COLOUR, MASS, ON_WEIGHT, STRENGTH, VOLUME, AREA, CLUMPS, PLACE, LUMPS, N_POWDER };
static const char *const POWDER_KEYS[N_POWDER] = {"colour", "mass", "on-weight", "strength",
                                                  "volume", "area", "clumps",    "place", "lumps"};

/* Share of usual powder that is caked to lumps: estimate. Over the ice they count as none unless given: most dissolve
 * on it. */
#define LUMPS_UNDER 0.2
static const thaw_rule LUMPS_RULE = {"dye.lumps", THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"};

typedef struct powder_names {
    const char *where, *mass, *on_weight, *area, *clumps, *place;
} powder_names;
static const powder_names DYE_NAMES = {"dye", "dye.mass", "dye.on-weight", "dye.area", "dye.clumps", "dye.place"};
static const powder_names SODA_NAMES = {"soda-ash",      "soda-ash.mass",   "soda-ash.on-weight",
                                        "soda-ash.area", "soda-ash.clumps", "soda-ash.place"};

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
    enum { ICE_KIND, KG, DEPTH, WHERE, SIZE, START, DIAMETER, LATER, N };
    static const char *const keys[N] = {"kind", "mass", "depth", "area", "size", "temperature", "diameter", "at"};
    yaml_node_t *values[N];
    thaw_ice_zone *zone = &scenario->spec.ice[at];
    thaw_origins *origins = &scenario->origins;
    zone->area = thaw_areas_all();
    if (!thaw_reader_map(reader, node, "ice", keys, N, values)) {
        return;
    }
    if (!values[ICE_KIND]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "ice.kind", "kind: cubes");
    }
    if (!values[KG] && !values[DEPTH]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "ice.mass", "mass: 2 kg`, `mass: 5 lb` or `depth: 5 cm");
    } else if (values[KG] && values[DEPTH]) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[DEPTH]), "keep one of the two",
                        "ice: `mass` and `depth` both say how much");
    }
    zone->kind = values[ICE_KIND] ? read_kind(reader, values[ICE_KIND]) : NULL;
    zone->diameter_m = zone->kind ? zone->kind->diameter_m : 0.0;
    zone->start_k = zone->kind ? zone->kind->start_k : 0.0;
    thaw_reader_quantity(reader, values[KG], &ICE_MASS, &zone->mass_kg);
    thaw_reader_quantity(reader, values[DEPTH], &ICE_DEPTH, &zone->depth_m);
    origins->ice[at].at = given(thaw_reader_quantity(reader, values[LATER], &ICE_AT, &zone->at_s), THAW_FROM_DEFAULT);
    origins->ice[at].area =
        given(thaw_areas_read(reader, values[WHERE], "ice.area", &zone->area), THAW_FROM_DEFAULT);
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

/* How much of a powder there is: weighed, as a share of the dry cloth, or as liquid of a strength. */
static void read_amount(const thaw_reader *reader, const yaml_node_t *node, const powder_names *names,
                        yaml_node_t *const *values, const thaw_specification *spec, thaw_dye_zone *zone)
{
    const thaw_rule mass = {names->mass, THAW_MASS, 0.0, 1.0, true, "above 0 g, to 1 kg"};
    const thaw_rule share = {names->on_weight, THAW_SHARE, 0.0, 1.0, true, "above 0 %, to 100 % of the dry cloth"};
    double on_weight = 0.0, strength = 0.0;
    const int given_ways = !!values[MASS] + !!values[ON_WEIGHT] + !!values[STRENGTH];
    if (given_ways == 0) {
        thaw_reader_missing(reader, thaw_reader_place(node), names->mass, "mass: 5 g` or `on-weight: 2 %");
    } else if (given_ways > 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "keep one of them",
                        "%s: `mass`, `on-weight` and `strength` all say how much", names->where);
    }
    thaw_reader_quantity(reader, values[MASS], &mass, &zone->mass_kg);
    thaw_reader_quantity(reader, values[VOLUME], &VOLUME_RULE, &zone->volume_m3);
    if (thaw_reader_quantity(reader, values[ON_WEIGHT], &share, &on_weight) && spec->cloth) {
        zone->mass_kg = on_weight * spec->cloth->mass_kg_m2 * thaw_specification_area_m2(spec);
    }
    if (values[STRENGTH] && !values[VOLUME]) {
        thaw_reader_missing(reader, thaw_reader_place(values[STRENGTH]), "dye.volume", "volume: 100 mL");
    } else if (thaw_reader_quantity(reader, values[STRENGTH], &STRENGTH_RULE, &strength)) {
        zone->mass_kg = strength * zone->volume_m3;
    }
    if (zone->volume_m3 > 0.0 && zone->mass_kg / zone->volume_m3 > STRENGTH_RULE.highest * (1.0 + 1e-9)) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[VOLUME]), "allowed: up to 100 g/L",
                        "%s: so much does not dissolve in the volume", names->where);
    }
}

/* What dye and soda ash have in common. */
static void read_powder(const thaw_reader *reader, const yaml_node_t *node, const powder_names *names,
                        yaml_node_t *const *values, thaw_scenario *scenario, thaw_dye_zone *zone, thaw_origin *area,
                        thaw_origin *clumps, thaw_origin *place)
{
    static const char *const places[] = {"over ice", "under ice"};
    const thaw_rule clumps_rule = {names->clumps, THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"};
    read_amount(reader, node, names, values, &scenario->spec, zone);
    *area = given(thaw_areas_read(reader, values[AREA], names->area, &zone->area), THAW_FROM_DEFAULT);
    *clumps = given(thaw_reader_quantity(reader, values[CLUMPS], &clumps_rule, &zone->clumping), THAW_FROM_DEFAULT);
    const int found = thaw_reader_word(reader, values[PLACE], names->place, places, 2);
    *place = given(found >= 0, THAW_FROM_DEFAULT);
    zone->under_ice = found == 1;
}

static void read_dye_zone(const thaw_reader *reader, const yaml_node_t *node,
                          thaw_scenario *scenario, int at)
{
    yaml_node_t *values[N_POWDER];
    thaw_dye_zone *zone = &scenario->spec.dye[at];
    thaw_origins *origins = &scenario->origins;
    zone->area = thaw_areas_all();
    zone->clumping = 0.5;
    if (!thaw_reader_map(reader, node, "dye", POWDER_KEYS, N_POWDER, values)) {
        return;
    }
    if (!values[COLOUR]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "dye.colour", "colour: turquoise");
    }
    zone->colour = values[COLOUR] ? read_colour(reader, values[COLOUR], scenario->shelf, &scenario->shelf->mixed[at])
                                  : NULL;
    read_powder(reader, node, &DYE_NAMES, values, scenario, zone, &origins->dye[at].area, &origins->dye[at].clumps,
                &origins->dye[at].place);
    zone->lumps = zone->under_ice && !(zone->volume_m3 > 0.0) ? LUMPS_UNDER : 0.0;
    origins->dye[at].lumps = given(thaw_reader_quantity(reader, values[LUMPS], &LUMPS_RULE, &zone->lumps), THAW_FROM_DEFAULT);
    if (values[LUMPS] && zone->volume_m3 > 0.0) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[LUMPS]), "leave it out", "dye: there are no lumps in a liquid");
    }
}

/* The keys of dye that soda ash has too. */
static void read_soda_zone(const thaw_reader *reader, const yaml_node_t *node,
                           thaw_scenario *scenario, int at)
{
    enum { OWN_MASS, OWN_ON_WEIGHT, OWN_AREA, OWN_CLUMPS, OWN_PLACE, N_OWN };
    static const char *const keys[N_OWN] = {"mass", "on-weight", "area", "clumps", "place"};
    yaml_node_t *own[N_OWN], *values[N_POWDER] = {NULL};
    thaw_dye_zone *zone = &scenario->spec.soda[at];
    thaw_origins *origins = &scenario->origins;
    zone->area = thaw_areas_all();
    if (!thaw_reader_map(reader, node, "soda-ash", keys, N_OWN, own)) {
        return;
    }
    values[MASS] = own[OWN_MASS];
    values[ON_WEIGHT] = own[OWN_ON_WEIGHT];
    values[AREA] = own[OWN_AREA];
    values[CLUMPS] = own[OWN_CLUMPS];
    values[PLACE] = own[OWN_PLACE];
    read_powder(reader, node, &SODA_NAMES, values, scenario, zone, &origins->soda_zones[at].area,
                &origins->soda_zones[at].clumps, &origins->soda_zones[at].place);
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
        char remedy[200];
        snprintf(remedy, sizeof remedy, "start each entry with `- `, or in brackets: `%s: [ { %s } ]`; or write `none`", where,
                 strcmp(where, "ice") == 0 ? "kind: cubes, mass: 4 kg" : strcmp(where, "dye") == 0 ? "colour: turquoise, mass: 6 g" : "mass: 10 g");
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: a list is wanted here", where);
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

void thaw_section_soda(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    if (node) {
        scenario->spec.n_soda = read_zones(reader, node, "soda-ash", THAW_MAX_SODA_ZONES, read_soda_zone, scenario);
    }
}
