/* Cloths of one's own, and blends. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/words.h"
#include "data/cloths.h"
#include "data/fibres.h"
#include "scenario/own.h"

#define WHERE       "own-cloths"
#define MOST_NAMES  128
#define LEAST_LIVE  0.10   /* less dyes so little that a forecast means nothing: choice */
#define SUM_WITHIN  0.0051 /* labels round to whole per cents */
#define WATER_KG_M3 1000.0
#define GIVEN       "given: in your own file"
#define CARRIED     "computed: from what it is like, by mass, thickness and fibre"

enum { NAME, LIKE, FIBRE, FIRST_FIGURE, N_KEYS = FIRST_FIGURE + THAW_CLOTH_FIGURES };

/* Without `like`, what follows from the fibre or is usual need not be said. */
static const struct usual {
    thaw_cloth_figure figure;
    double value;
    const char *source;
} USUAL[] = {
    {THAW_CLOTH_CONDUCTIVITY_SPREAD, 3.0, "estimate: upper end of 1.5 to 3"},
    {THAW_CLOTH_ENTRY_LOW, 0.9, "estimate: about -10 % for natural cloth"},
    {THAW_CLOTH_ENTRY_HIGH, 1.4, "estimate: about +40 % for natural cloth"},
    {THAW_CLOTH_LAMBDA, 0.7, "estimate: chosen within 0.5 to 1.0"},
    {THAW_CLOTH_WEFT_RATIO, 1.0, "estimate: no figure given"},
    {THAW_CLOTH_WARMTH, 0.0, "estimate: bleached"},
};

static bool follows_from_fibre(int figure)
{
    return figure == THAW_CLOTH_BOUND || figure == THAW_CLOTH_CAPACITY || figure == THAW_CLOTH_YIELD ||
           figure == THAW_CLOTH_REACTION;
}

static void take_from_fibre(const thaw_fibre *fibre, thaw_cloth_kind *kind)
{
    kind->fibre = fibre->name;
    kind->bound_kg_kg = fibre->bound_kg_kg;
    kind->capacity_kg_kg = fibre->capacity_kg_kg;
    kind->colour_yield = fibre->colour_yield;
    kind->reaction_ratio = fibre->reaction_ratio;
    kind->protein_share = fibre->is_protein ? 1.0 : 0.0;
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        kind->sources[f] = follows_from_fibre(f) ? "computed: as its fibre has it" : kind->sources[f];
    }
}

static void refuse_idle(const thaw_reader *reader, const yaml_node_t *node, const char *where, const thaw_fibre *fibre)
{
    thaw_faults_add(reader->faults, thaw_reader_place(node), "cotton, linen, viscose, lyocell, silk and wool take it",
                    "%s: %s %s", where, fibre->name, fibre->refusal);
}

static int fibre_names(const char **names)
{
    for (int i = 0; i < thaw_fibres_count(); i++) {
        names[i] = thaw_fibres_at(i)->name;
    }
    return thaw_fibres_count();
}

static const thaw_fibre *find_fibre(const thaw_reader *reader, const yaml_node_t *node, const char *where)
{
    const char *names[MOST_NAMES];
    const char *text = thaw_reader_text(reader, node, where);
    const thaw_fibre *fibre = text ? thaw_fibres_find(text) : NULL;
    if (text && !fibre) {
        thaw_reader_unknown(reader, thaw_reader_place(node), where, text, names, fibre_names(names));
    }
    return fibre;
}

/* What is known before any figure of the entry is looked at. False if a needed one is missing. */
static bool start(const thaw_reader *reader, const yaml_node_t *node, yaml_node_t *const *values,
                  const thaw_shelf *shelf, thaw_cloth_kind *kind)
{
    const char *names[MOST_NAMES];
    bool fine = true;
    *kind = (thaw_cloth_kind){0};
    for (size_t i = 0; i < sizeof USUAL / sizeof USUAL[0]; i++) {
        thaw_figure_set(thaw_cloth_row(USUAL[i].figure), kind, USUAL[i].value);
        kind->sources[USUAL[i].figure] = USUAL[i].source;
    }
    if (values[LIKE]) {
        const char *text = thaw_reader_text(reader, values[LIKE], WHERE ".like");
        const thaw_cloth_kind *like = text ? thaw_shelf_find_cloth(shelf, text) : NULL;
        if (text && !like) {
            thaw_reader_unknown(reader, thaw_reader_place(values[LIKE]), WHERE ".like", text, names,
                                thaw_shelf_cloth_names(shelf, names, MOST_NAMES));
        }
        fine = like && like->fibre; /* an entry with faults may have none */
        *kind = like ? *like : *kind;
    }
    if (values[FIBRE]) {
        const thaw_fibre *fibre = find_fibre(reader, values[FIBRE], WHERE ".fibre");
        if (fibre && fibre->refusal) {
            refuse_idle(reader, values[FIBRE], WHERE ".fibre", fibre);
        }
        fine = fine && fibre && !fibre->refusal;
        if (fibre && (!kind->fibre || strcmp(kind->fibre, fibre->name) != 0)) {
            take_from_fibre(fibre, kind);
        }
    } else if (!values[LIKE]) {
        thaw_reader_missing(reader, thaw_reader_place(node), WHERE ".fibre", "fibre: cotton");
        fine = false;
    }
    return fine;
}

static void check_needed(const thaw_reader *reader, const yaml_node_t *node, yaml_node_t *const *values)
{
    static const struct needed {
        thaw_cloth_figure figure;
        const char *example;
    } rows[] = {{THAW_CLOTH_MASS, "mass: 250 g/m2"},
                {THAW_CLOTH_THICKNESS, "thickness: 0.5 mm"},
                {THAW_CLOTH_CONDUCTIVITY, "conductivity: 0.16 mm/s"},
                {THAW_CLOTH_ENTRY_HEAD, "entry-head: 4 cm"},
                {THAW_CLOTH_PICKUP, "pick-up: 110 %"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (!values[FIRST_FIGURE + rows[i].figure]) {
            char where[64], example[64];
            snprintf(where, sizeof where, WHERE ".%s", thaw_cloth_row(rows[i].figure)->key);
            snprintf(example, sizeof example, "%s", rows[i].example);
            thaw_reader_missing(reader, thaw_reader_place(node), where, example);
        }
    }
}

static double porosity(const thaw_cloth_kind *kind)
{
    return kind->pore_m / kind->thickness_m;
}

/* Pores and conductivity that are not said follow mass, thickness and fibre: K_s / porosity stays. */
static void carry_over(yaml_node_t *const *values, const thaw_cloth_kind *before, thaw_cloth_kind *kind)
{
    const thaw_fibre *fibre = thaw_fibres_find(kind->fibre);
    bool changed = values[FIRST_FIGURE + THAW_CLOTH_MASS] || values[FIRST_FIGURE + THAW_CLOTH_THICKNESS] ||
                   values[FIBRE];
    if (!values[FIRST_FIGURE + THAW_CLOTH_PORE] && changed) {
        kind->pore_m = kind->thickness_m - kind->mass_kg_m2 / fibre->density_kg_m3;
        kind->sources[THAW_CLOTH_PORE] = "computed: thickness - mass / density of the fibre";
    }
    if (!values[FIRST_FIGURE + THAW_CLOTH_CONDUCTIVITY] && before->pore_m > 0.0 && kind->pore_m > 0.0 &&
        porosity(before) != porosity(kind)) {
        kind->conductivity_m_s = before->conductivity_m_s * porosity(kind) / porosity(before);
        kind->sources[THAW_CLOTH_CONDUCTIVITY] = CARRIED;
    }
}

/* Pores so wide and so alike hold no water against gravity. Files that strip writes are rounded. */
static void check_fringe(const thaw_reader *reader, const yaml_node_t *node, const thaw_cloth_kind *kind)
{
    const double least_m = kind->lambda * THAW_CLOTH_LEAST_FRINGE_M;
    if (kind->entry_head_m < least_m * (1.0 - 1e-3)) {
        char remedy[120];
        snprintf(remedy, sizeof remedy, "allowed with lambda %.3g: entry-head from %.3g mm", kind->lambda, 1e3 * least_m);
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy,
                        "%s: an entry-head of %.3g mm does not go with lambda %.3g: such cloth holds no water", kind->name,
                        1e3 * kind->entry_head_m, kind->lambda);
    }
}

/* Figures that do not go together. */
static void check_sense(const thaw_reader *reader, const yaml_node_t *node, const thaw_cloth_kind *kind)
{
    double full = kind->bound_kg_kg + kind->pore_m * WATER_KG_M3 / kind->mass_kg_m2;
    if (!(kind->pore_m >= 0.05 * kind->thickness_m && kind->pore_m < kind->thickness_m)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "correct mass, thickness or pore-volume",
                        "%s: pores of %.3g mm in cloth %.3g mm thick", kind->name, 1e3 * kind->pore_m,
                        1e3 * kind->thickness_m);
    } else if (!(kind->pickup_kg_kg >= kind->bound_kg_kg + 0.05 && kind->pickup_kg_kg <= full)) {
        char remedy[120];
        snprintf(remedy, sizeof remedy, "allowed: %.0f %% to %.0f %% (bound water to full pores)",
                 100.0 * kind->bound_kg_kg + 5.5, 100.0 * full - 0.5);
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: a pick-up of %.4g %% does not fit",
                        kind->name, 100.0 * kind->pickup_kg_kg);
    }
}

/* The figures; true if all that are there fit. */
static bool read_figures(const thaw_reader *reader, yaml_node_t *const *values, thaw_cloth_kind *kind)
{
    bool fine = true;
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        yaml_node_t *node = values[FIRST_FIGURE + f];
        if (node) {
            fine = thaw_own_figure(reader, node, WHERE, thaw_cloth_row((thaw_cloth_figure)f), kind) && fine;
            kind->sources[f] = GIVEN;
        }
    }
    return fine;
}

static int find_own(const thaw_shelf *shelf, const char *name)
{
    for (int i = 0; i < shelf->n_cloths; i++) {
        if (thaw_words_same(name, shelf->cloths[i].name)) {
            return i;
        }
    }
    return -1;
}

static void read_entry(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    const char *keys[N_KEYS] = {"name", "like", "fibre"};
    yaml_node_t *values[N_KEYS];
    char name[THAW_OWN_NAME] = "";
    thaw_cloth_kind kind;
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        keys[FIRST_FIGURE + f] = thaw_cloth_row((thaw_cloth_figure)f)->key;
    }
    if (!thaw_reader_map(reader, node, WHERE, keys, N_KEYS, values)) {
        return;
    }
    if (!values[NAME]) {
        thaw_reader_missing(reader, thaw_reader_place(node), WHERE ".name", "name: sail canvas");
    }
    const char *text = values[NAME] && values[NAME]->type == YAML_SCALAR_NODE
                           ? (const char *)values[NAME]->data.scalar.value
                           : "";
    const thaw_cloth_kind *row = thaw_cloths_find(text);
    bool named = thaw_own_name(reader, values[NAME], WHERE ".name", row ? row->name : NULL, name);
    bool fine = start(reader, node, values, shelf, &kind);
    const thaw_cloth_kind before = kind;
    if (!values[LIKE]) {
        check_needed(reader, node, values);
    }
    fine = read_figures(reader, values, &kind) && fine;
    int found = find_own(shelf, name);
    int at = !named ? -1
                    : thaw_own_place(reader, values[NAME], name, found, found >= 0 ? shelf->cloths[found].file : 0,
                                     shelf->n_files, &shelf->n_cloths, THAW_MAX_OWN_CLOTHS);
    if (at < 0) {
        return;
    }
    thaw_own_cloth *own = &shelf->cloths[at];
    snprintf(own->name, sizeof own->name, "%s", name);
    own->file = shelf->n_files;
    own->kind = kind;
    own->kind.name = own->name;
    own->kind.remark = "your own";
    if (fine && kind.fibre && kind.mass_kg_m2 > 0.0 && kind.thickness_m > 0.0) {
        carry_over(values, &before, &own->kind);
        check_sense(reader, values[NAME], &own->kind);
        check_fringe(reader, values[NAME], &own->kind);
    }
}

void thaw_own_read_cloths(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    yaml_node_t *items[THAW_MAX_OWN_CLOTHS];
    int n = thaw_reader_list(reader, node, WHERE, THAW_MAX_OWN_CLOTHS, items);
    if (n < 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "start each cloth with `- name: ...`",
                        WHERE ": a list is wanted here");
    }
    for (int i = 0; i < n; i++) {
        read_entry(reader, items[i], shelf);
    }
}

/* ---- blends ---- */

/* The fibres and their shares; false with a fault where they do not fit. */
static bool read_fibres(const thaw_reader *reader, const yaml_node_t *node, thaw_blend *blend)
{
    static const thaw_rule share = {"cloth.fibres", THAW_SHARE, 0.0, 1.0, true, "above 0 %, to 100 %"};
    double sum = 0.0;
    bool fine = true;
    blend->n = 0;
    for (yaml_node_pair_t *pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; pair++) {
        const yaml_node_t *key = thaw_reader_node(reader, pair->key);
        double value = 0.0;
        if (blend->n == THAW_MAX_FIBRES) {
            thaw_faults_add(reader->faults, thaw_reader_place(key), NULL, "cloth.fibres: more than %d", THAW_MAX_FIBRES);
            return false;
        }
        const thaw_fibre *fibre = find_fibre(reader, key, "cloth.fibres");
        bool has_share = thaw_reader_quantity(reader, thaw_reader_node(reader, pair->value), &share, &value);
        for (int i = 0; i < blend->n && fibre; i++) {
            if (blend->fibres[i] == fibre) {
                thaw_faults_add(reader->faults, thaw_reader_place(key), "keep one of the two",
                                "cloth.fibres: `%s` is given twice", fibre->name);
                fine = false;
            }
        }
        fine = fine && fibre && has_share;
        blend->fibres[blend->n] = fibre;
        blend->shares[blend->n++] = value;
        sum += value;
    }
    if (fine && fabs(sum - 1.0) > SUM_WITHIN) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "all fibres together make 100 %",
                        "cloth.fibres: these make %.4g %%", 100.0 * sum);
        fine = false;
    }
    return fine;
}

/* Means over the blend. */
typedef struct blended {
    double volume_m3_kg, bound, live, capacity, yield, reaction, protein;
} blended;

static blended mean_of(const thaw_blend *blend)
{
    blended m = {0};
    double sum = 0.0;
    for (int i = 0; i < blend->n; i++) {
        sum += blend->shares[i];
    }
    for (int i = 0; i < blend->n; i++) {
        const thaw_fibre *fibre = blend->fibres[i];
        double share = blend->shares[i] / sum, live = fibre->refusal ? 0.0 : share;
        m.volume_m3_kg += share / fibre->density_kg_m3;
        m.bound += share * fibre->bound_kg_kg;
        m.live += live;
        m.capacity += live * fibre->capacity_kg_kg;
        m.yield += live * fibre->colour_yield;
        m.reaction += live * fibre->reaction_ratio;
        m.protein += fibre->is_protein ? live : 0.0;
    }
    if (m.live > 0.0) {
        m.capacity /= m.live;
        m.yield /= m.live;
        m.reaction /= m.live;
        m.protein /= m.live;
    }
    return m;
}

/* The make of cloth with its one fibre replaced: what belongs to the weave or knit stays. */
static void spin(const thaw_cloth_kind *make, const blended *m, thaw_cloth_kind *kind)
{
    const thaw_fibre *pure = thaw_fibres_find(make->fibre);
    *kind = *make;
    kind->pore_m = make->pore_m + make->mass_kg_m2 * (1.0 / pure->density_kg_m3 - m->volume_m3_kg);
    kind->conductivity_m_s = make->conductivity_m_s * kind->pore_m / make->pore_m;
    kind->bound_kg_kg = fmax(0.0, make->bound_kg_kg + m->bound - pure->bound_kg_kg);
    kind->pickup_kg_kg = make->pickup_kg_kg + kind->bound_kg_kg - make->bound_kg_kg;
    kind->capacity_kg_kg = make->capacity_kg_kg * m->capacity / pure->capacity_kg_kg;
    kind->colour_yield = make->colour_yield * m->yield / pure->colour_yield;
    kind->reaction_ratio = make->reaction_ratio * m->reaction / pure->reaction_ratio;
    kind->idle_share = 1.0 - m->live;
    kind->protein_share = m->protein;
}

static void refuse_blend(const thaw_reader *reader, const yaml_node_t *node, const thaw_blend *blend, double live)
{
    char remedy[200];
    const thaw_fibre *idle = NULL;
    for (int i = 0; i < blend->n; i++) {
        idle = blend->fibres[i]->refusal ? blend->fibres[i] : idle;
    }
    snprintf(remedy, sizeof remedy, "%s %s", idle ? idle->name : "", idle ? idle->refusal : "");
    thaw_faults_add(reader->faults, thaw_reader_place(node), remedy,
                    "cloth.fibres: only %.3g %% of this cloth takes dye; at least 10 %% must", 100.0 * live);
}

static void name_blend(thaw_blend *blend)
{
    size_t used = (size_t)snprintf(blend->name, sizeof blend->name, "%s of", blend->make->name);
    for (int i = 0; i < blend->n && used < sizeof blend->name; i++) {
        used += (size_t)snprintf(blend->name + used, sizeof blend->name - used, "%s %s %.4g %%", i ? "," : "",
                                 blend->fibres[i]->name, 100.0 * blend->shares[i]);
    }
}

const thaw_cloth_kind *thaw_own_blend(const thaw_reader *reader, const yaml_node_t *node, const thaw_cloth_kind *make,
                                      thaw_blend *blend)
{
    if (node->type != YAML_MAPPING_NODE) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "write what the label says, such as `fibres: { cotton: 60 %, polyester: 40 % }`",
                        "cloth.fibres: lines of `fibre: share` are wanted here");
        return NULL;
    }
    bool fine = read_fibres(reader, node, blend);
    if (!fine || !make || !make->fibre || !(make->pore_m > 0.0)) { /* what is wrong with the make is reported with it */
        return NULL;
    }
    blended m = mean_of(blend);
    if (m.live < LEAST_LIVE) {
        refuse_blend(reader, node, blend, m.live);
        return NULL;
    }
    blend->make = make;
    spin(make, &m, &blend->kind);
    name_blend(blend);
    blend->kind.name = blend->name;
    return &blend->kind;
}
