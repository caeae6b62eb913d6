/* Cloth, preparation and the keys of the run. */
#include "scenario/sections.h"

#include <stdio.h>
#include <string.h>

#include "data/fibres.h"
#include "scenario/own.h"

#define MOST_CLOTHS 128

static const thaw_rule WIDTH = {"cloth.width", THAW_LENGTH, 0.05, 10.0, false, "5 cm to 10 m"};
static const thaw_rule LENGTH = {"cloth.length", THAW_LENGTH, 0.05, 10.0, false, "5 cm to 10 m"};
/* Above about 215 g/L soda ash no longer dissolves at room temperature (from memory). */
static const thaw_rule SODA = {"prepare.soda-ash", THAW_CONCENTRATION, 0.0, 200.0, false,
                               "0 g/L to 200 g/L"};
static const thaw_rule LEAVE = {"leave",        THAW_TIME, 600.0,
                                14.0 * 86400.0, false,     "10 min to 14 days"};

static const thaw_cloth_kind *read_kind(const thaw_reader *reader, const yaml_node_t *node, const thaw_shelf *shelf)
{
    const char *names[MOST_CLOTHS];
    const char *const blends = "for a blend write `kind: cotton twill` and `fibres: { cotton: 60 %, polyester: 40 % }`";
    const char *text = thaw_reader_text(reader, node, "cloth.kind");
    const thaw_cloth_kind *kind = text ? thaw_shelf_find_cloth(shelf, text) : NULL;
    if (!text || kind) {
        return kind;
    }
    const thaw_fibre *idle = thaw_fibres_idle_in(text);
    if (strchr(text, '%')) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), blends,
                        "cloth.kind: `%.60s` names fibres; the make of the cloth is wanted here", text);
    } else if (idle) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), blends, "cloth.kind: `%.60s`: %s %s", text, idle->name,
                        idle->refusal);
    } else {
        int n = thaw_shelf_cloth_names(shelf, names, MOST_CLOTHS);
        thaw_reader_unknown(reader, thaw_reader_place(node), "cloth.kind", text, names, n);
    }
    return NULL;
}

thaw_place thaw_section_cloth(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                              thaw_scenario *scenario)
{
    enum { KIND, WIDE, LONG, FIBRES, N };
    static const char *const keys[N] = {"kind", "width", "length", "fibres"};
    static const char *const names[FIBRES] = {"cloth.kind", "cloth.width", "cloth.length"};
    static const char *const examples[FIBRES] = {"kind: cotton twill", "width: 120 cm", "length: 1 m"};
    yaml_node_t *values[N];
    thaw_specification *spec = &scenario->spec;
    if (!node) {
        thaw_reader_missing(reader, whole, "cloth",
                            "cloth: { kind: cotton twill, width: 120 cm, length: 1 m }");
        return whole;
    }
    if (!thaw_reader_map(reader, node, "cloth", keys, N, values)) {
        return thaw_reader_place(node);
    }
    const bool is_garment = scenario->origins.garment == THAW_FROM_FILE;
    for (int i = 0; i < FIBRES; i++) {
        if (is_garment && i != KIND && values[i]) {
            thaw_faults_add(reader->faults, thaw_reader_place(values[i]), "leave it out",
                            "%s: the size of a garment stands under `garment`", names[i]);
        } else if (!values[i] && !(is_garment && i != KIND)) {
            thaw_reader_missing(reader, thaw_reader_place(node), names[i], examples[i]);
        }
    }
    if (values[KIND]) {
        spec->cloth = read_kind(reader, values[KIND], scenario->shelf);
    }
    if (values[FIBRES]) {
        spec->cloth = thaw_own_blend(reader, values[FIBRES], spec->cloth, &scenario->shelf->blend);
    }
    if (!is_garment) {
        thaw_reader_quantity(reader, values[WIDE], &WIDTH, &spec->width_m);
        thaw_reader_quantity(reader, values[LONG], &LENGTH, &spec->length_m);
    }
    return thaw_reader_place(values[WIDE] ? values[WIDE] : node);
}

/* Damp cloth that can dye holds more than its bound water and no more than its pores take. */
static thaw_rule pickup_rule(const thaw_cloth_kind *cloth, char *allowed, size_t size)
{
    thaw_rule rule = {"prepare.pick-up", THAW_SHARE, 0.2, 8.0, false, allowed};
    if (cloth) {
        rule.lowest = cloth->bound_kg_kg + 0.05;
        rule.highest = cloth->bound_kg_kg + cloth->pore_m * 1000.0 / cloth->mass_kg_m2;
        snprintf(allowed, size, "%.0f %% to %.0f %% for %s (bound water to full pores)",
                 rule.lowest * 100.0, rule.highest * 100.0 - 0.5, cloth->name);
    } else {
        snprintf(allowed, size, "20 %% to 800 %%");
    }
    return rule;
}

/* Dry, damp or dripping; a pick-up says how damp, or how wet the soak was that has dried. */
static void read_start(const thaw_reader *reader, const yaml_node_t *node, const yaml_node_t *pickup, thaw_scenario *scenario)
{
    static const char *const starts[] = {"dry", "damp", "dripping"};
    thaw_specification *spec = &scenario->spec;
    const int found = thaw_reader_word(reader, node, "prepare.start", starts, 3);
    spec->starts_dry = found == 0;
    if (found == 2 && pickup) {
        thaw_faults_add(reader->faults, thaw_reader_place(pickup), "keep one of the two",
                        "prepare: dripping cloth is full, and `pick-up` says how full");
    } else if (found == 2 && spec->cloth) {
        spec->pickup_kg_kg = spec->cloth->bound_kg_kg + spec->cloth->pore_m * 1000.0 / spec->cloth->mass_kg_m2;
        scenario->origins.pickup = THAW_FROM_FILE;
    }
}

void thaw_section_prepare(const thaw_reader *reader, const yaml_node_t *node,
                          thaw_scenario *scenario)
{
    static const char *const keys[] = {"soda-ash", "pick-up", "start"};
    yaml_node_t *values[3];
    char allowed[120];
    thaw_specification *spec = &scenario->spec;
    spec->pickup_kg_kg = spec->cloth ? spec->cloth->pickup_kg_kg : 1.0;
    scenario->origins.pickup = THAW_FROM_CLOTH;
    if (!node || !thaw_reader_map(reader, node, "prepare", keys, 3, values)) {
        return;
    }
    if (thaw_reader_quantity(reader, values[0], &SODA, &spec->soda_kg_m3)) {
        scenario->origins.soda = THAW_FROM_FILE;
    }
    thaw_rule rule = pickup_rule(spec->cloth, allowed, sizeof allowed);
    if (thaw_reader_quantity(reader, values[1], &rule, &spec->pickup_kg_kg)) {
        scenario->origins.pickup = THAW_FROM_FILE;
    }
    read_start(reader, values[2], values[1], scenario);
}

static thaw_origin given(bool is_given)
{
    return is_given ? THAW_FROM_FILE : THAW_FROM_DEFAULT;
}

void thaw_section_leave(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    scenario->origins.leave =
        given(thaw_reader_quantity(reader, node, &LEAVE, &scenario->spec.leave_s));
}

void thaw_section_seed(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    scenario->origins.seed =
        given(thaw_reader_whole(reader, node, "seed", 0, UINT64_MAX, &scenario->spec.seed));
}

void thaw_section_detail(const thaw_reader *reader, const yaml_node_t *node,
                         thaw_scenario *scenario)
{
    const char *words[] = {thaw_detail_word(THAW_DETAIL_DRAFT),
                           thaw_detail_word(THAW_DETAIL_NORMAL),
                           thaw_detail_word(THAW_DETAIL_FINE)};
    int found = thaw_reader_word(reader, node, "detail", words, 3);
    if (found >= 0) {
        scenario->spec.detail = (thaw_detail)found;
        scenario->origins.detail = THAW_FROM_FILE;
    }
    scenario->spec.cell_m = thaw_detail_cell_m(scenario->spec.detail);
}

void thaw_section_title(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    const char *text = node ? thaw_reader_text(reader, node, "title") : NULL;
    size_t size = sizeof scenario->spec.title;
    if (text && strlen(text) >= size) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "shorten it",
                        "title: longer than %zu bytes", size - 1);
    } else if (text) {
        strcpy(scenario->spec.title, text);
        scenario->origins.title = THAW_FROM_FILE;
    }
}
