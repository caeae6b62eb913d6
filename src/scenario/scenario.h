/* A loaded scenario: the resolved specification and where each value came from. */
#ifndef THAW_SCENARIO_SCENARIO_H
#define THAW_SCENARIO_SCENARIO_H

#include "base/quantity.h"
#include "model/specification.h"
#include "scenario/shelf.h"
#include "scenario/pictures.h"
#include "thawprint/scenario.h"

typedef enum thaw_origin {
    THAW_FROM_DEFAULT,
    THAW_FROM_FILE,
    THAW_FROM_CLOTH,
    THAW_FROM_ICE,
    THAW_FROM_CALLER /* changed after loading */
} thaw_origin;

#define THAW_MAX_FOLD_KEYS 6

typedef struct thaw_origins {
    thaw_origin title, soda, pickup, fold, hang_down, temperature, humidity, draught, cover, leave, seed,
        detail, stand, vessel, drain, sky, garment, garment_first;
    thaw_origin garment_sizes[THAW_GARMENT_SIZES];
    struct {
        thaw_origin keys[THAW_MAX_FOLD_KEYS]; /* in the order of scenario/fold_keys.c */
    } folds[THAW_MAX_FOLDS];
    struct {
        thaw_origin area, size, temperature, at;
    } ice[THAW_MAX_ICE_ZONES];
    struct {
        thaw_origin area, clumps, place, lumps;
    } dye[THAW_MAX_DYE_ZONES], soda_zones[THAW_MAX_SODA_ZONES];
} thaw_origins;

struct thaw_scenario {
    thaw_specification spec;
    thaw_origins origins;
    thaw_units *units; /* own */
    thaw_shelf *shelf; /* own: cloths, dyes and mixtures that are no rows of the tables */
    thaw_pictures *pictures; /* own: painted areas of spec point into it */
};

/* What setup and simulation start from; lives as long as the scenario. */
const thaw_specification *thaw_scenario_specification(const thaw_scenario *scenario);

/* Scenario from text of n bytes (and a NUL behind); `path` is for messages and for the name.
 * `available` is the memory a run may take, bytes; 0 if unknown. On failure *out is untouched and
 * `err` holds every fault (THAW_ERR_SCENARIO). */
thaw_status thaw_scenario_parse(const char *text, size_t n, const char *path, double available,
                                thaw_scenario **out, thaw_error *err);
/* The same, with cloths and dyes that came from files, and values overridden: the scenario takes the shelf, also when
 * it fails. */
thaw_status thaw_scenario_parse_with(const char *text, size_t n, const char *path, double available,
                                     thaw_shelf *shelf, const thaw_override *overrides, int n_overrides,
                                     thaw_scenario **out, thaw_error *err);

/* The resolved YAML without comment and title, as the digest covers it. Returns the length it
 * would have, as snprintf does. */
#define THAW_RESOLVED_MAX 131072
size_t thaw_scenario_write_body(const thaw_scenario *scenario, char *out, size_t size);
/* The table for people. */
size_t thaw_scenario_write_table(const thaw_scenario *scenario, char *out, size_t size);

/* Edge of a cell for a detail, and its word. */
double thaw_detail_cell_m(thaw_detail detail);
const char *thaw_detail_word(thaw_detail detail);
/* -1 for an unknown word. */
int thaw_detail_find(const char *word);

#endif
