/* Dyes of one's own, and mixtures. */
#include <stdio.h>
#include <string.h>

#include "base/words.h"
#include "data/dyes.h"
#include "scenario/own.h"

#define WHERE      "own-dyes"
#define MOST_NAMES 128
#define GIVEN      "given: in your own file"
#define GRAIN_M    50e-6 /* as the table */
#define ENERGY_J   84e3  /* as the table */

enum { NAME, GENERIC, LIKE, BANDS, FIRST_FIGURE, N_KEYS = FIRST_FIGURE + THAW_DYE_FIGURES };

/* Three plain numbers: middle, width and height of a band. */
static bool read_band(const thaw_reader *reader, const yaml_node_t *node, thaw_absorption_band *band)
{
    yaml_node_t *items[3];
    if (thaw_reader_list(reader, node, WHERE ".bands", 3, items) != 3) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "write `[middle in nm, width (sigma) in nm, height in K/S per g/kg]`, such as `[553, 16, 0.98]`",
                        WHERE ".bands: three numbers are wanted here");
        return false;
    }
    bool fine = thaw_own_number(reader, items[0], WHERE ".bands", 300.0, 900.0, "300 to 900 nm", &band->centre_nm);
    fine = thaw_own_number(reader, items[1], WHERE ".bands", 2.0, 500.0, "2 to 500 nm", &band->width_nm) && fine;
    return thaw_own_number(reader, items[2], WHERE ".bands", 0.0, 20.0, "0 to 20 K/S per g/kg", &band->height) && fine;
}

static void read_bands(const thaw_reader *reader, const yaml_node_t *node, thaw_component *dye)
{
    yaml_node_t *items[THAW_MAX_BANDS];
    int n = thaw_reader_list(reader, node, WHERE ".bands", THAW_MAX_BANDS, items);
    if (n < 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "write one or more bands, `[[553, 16, 0.98]]`",
                        WHERE ".bands: a list of bands is wanted here");
        return;
    }
    dye->n_bands = n;
    for (int i = 0; i < n; i++) {
        read_band(reader, items[i], &dye->bands[i]);
    }
}

/* What need not be said: all with `like`; without it grain and energies. */
static void start(const thaw_reader *reader, const yaml_node_t *node, yaml_node_t *const *values,
                  const thaw_shelf *shelf, thaw_component *dye)
{
    static const char *const examples[THAW_DYE_FIGURES] = {
        [THAW_DYE_SOLUBILITY] = "solubility: 60 g/L", [THAW_DYE_DIFFUSIVITY] = "diffusivity: 3e-10 m2/s",
        [THAW_DYE_SORPTION] = "sorption: 10 L/kg",    [THAW_DYE_FIXATION] = "fixation: 50 %/h",
        [THAW_DYE_HYDROLYSIS] = "hydrolysis: 20 %/h", [THAW_DYE_CAPACITY] = "ceiling: 45 g/kg"};
    const char *names[MOST_NAMES];
    *dye = (thaw_component){.grain_m = GRAIN_M, .fixation_j_mol = ENERGY_J, .hydrolysis_j_mol = ENERGY_J};
    if (values[LIKE]) {
        const char *text = thaw_reader_text(reader, values[LIKE], WHERE ".like");
        const thaw_component *like = text ? thaw_shelf_find_dye(shelf, text) : NULL;
        if (like) {
            *dye = *like;
        } else if (text) {
            thaw_reader_unknown(reader, thaw_reader_place(values[LIKE]), WHERE ".like", text, names,
                                thaw_shelf_dye_names(shelf, names, MOST_NAMES));
        }
        return;
    }
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        if (examples[f] && !values[FIRST_FIGURE + f]) {
            char where[64];
            snprintf(where, sizeof where, WHERE ".%s", thaw_dye_row((thaw_dye_figure)f)->key);
            thaw_reader_missing(reader, thaw_reader_place(node), where, examples[f]);
        }
    }
    if (!values[BANDS]) {
        thaw_reader_missing(reader, thaw_reader_place(node), WHERE ".bands", "bands: [[553, 16, 0.98]]");
    }
}

static int find_own_dye(const thaw_shelf *shelf, const char *name)
{
    for (int i = 0; i < shelf->n_dyes; i++) {
        if (thaw_words_same(name, shelf->dyes[i].name)) {
            return i;
        }
    }
    return -1;
}

static const char *text_of(const yaml_node_t *node)
{
    return node && node->type == YAML_SCALAR_NODE ? (const char *)node->data.scalar.value : "";
}

static const char *taken(const char *name)
{
    for (int i = 0; i < thaw_colours_count(); i++) {
        if (thaw_words_same(name, thaw_colours_at(i)->name)) {
            return thaw_colours_at(i)->name;
        }
    }
    for (int i = 0; i < thaw_components_count(); i++) {
        if (thaw_words_same(name, thaw_components_at(i)->name)) {
            return thaw_components_at(i)->name;
        }
    }
    return NULL;
}

static void read_generic(const thaw_reader *reader, const yaml_node_t *node, thaw_own_dye *own)
{
    const char *text = node ? thaw_reader_text(reader, node, WHERE ".generic") : "your own";
    if (text && strlen(text) >= sizeof own->generic) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "shorten it", WHERE ".generic: longer than %zu bytes",
                        sizeof own->generic - 1);
    } else if (text) {
        snprintf(own->generic, sizeof own->generic, "%s", text);
    }
}

static void read_dye(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    const char *keys[N_KEYS] = {"name", "generic", "like", "bands"};
    yaml_node_t *values[N_KEYS];
    char name[THAW_OWN_NAME] = "";
    thaw_component dye;
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        keys[FIRST_FIGURE + f] = thaw_dye_row((thaw_dye_figure)f)->key;
    }
    if (!thaw_reader_map(reader, node, WHERE, keys, N_KEYS, values)) {
        return;
    }
    if (!values[NAME]) {
        thaw_reader_missing(reader, thaw_reader_place(node), WHERE ".name", "name: squid ink");
    }
    bool named = thaw_own_name(reader, values[NAME], WHERE ".name", taken(text_of(values[NAME])), name);
    start(reader, node, values, shelf, &dye);
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        thaw_own_figure(reader, values[FIRST_FIGURE + f], WHERE, thaw_dye_row((thaw_dye_figure)f), &dye);
    }
    if (values[BANDS]) {
        read_bands(reader, values[BANDS], &dye);
    }
    int found = find_own_dye(shelf, name);
    int at = !named ? -1
                    : thaw_own_place(reader, values[NAME], name, found, found >= 0 ? shelf->dyes[found].file : 0,
                                     shelf->n_files, &shelf->n_dyes, THAW_MAX_OWN_DYES);
    if (at < 0) {
        return;
    }
    thaw_own_dye *own = &shelf->dyes[at];
    snprintf(own->name, sizeof own->name, "%s", name);
    read_generic(reader, values[GENERIC], own);
    own->file = shelf->n_files;
    own->component = dye;
    own->component.id = "own";
    own->component.name = own->name;
    own->component.generic = own->generic;
    own->component.note = GIVEN;
    own->colour = (thaw_colour){own->name, 1, {{THAW_FIRST_OWN_DYE + at, 1.0}}};
}

static void read_list(const thaw_reader *reader, const yaml_node_t *node, const char *where, int most,
                      void (*read)(const thaw_reader *, const yaml_node_t *, thaw_shelf *), thaw_shelf *shelf)
{
    yaml_node_t *items[THAW_MAX_OWN_COLOURS];
    int n = thaw_reader_list(reader, node, where, most, items);
    if (n < 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "start each entry with `- name: ...`",
                        "%s: a list is wanted here", where);
    }
    for (int i = 0; i < n; i++) {
        read(reader, items[i], shelf);
    }
}

void thaw_own_read_dyes(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    read_list(reader, node, WHERE, THAW_MAX_OWN_DYES, read_dye, shelf);
}

/* ---- mixtures ---- */

/* "2", "2 parts", "1 part". */
static bool read_parts(const thaw_reader *reader, const yaml_node_t *node, const char *where, double *parts)
{
    char why[160];
    double number = 0.0;
    const char *text = thaw_reader_text(reader, node, where);
    const char *rest = text ? thaw_number_parse(text, &number, why, sizeof why) : NULL;
    bool fine = rest && (strcmp(rest, "") == 0 || strcmp(rest, " part") == 0 || strcmp(rest, " parts") == 0);
    if (text && !(fine && number > 0.0 && number <= 1000.0)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "write parts by mass of powder, above 0 to 1000, such as `2` or `2 parts`",
                        "%s: `%.60s` is not a number of parts", where, text);
        return false;
    }
    *parts = number;
    return text != NULL;
}

static const thaw_colour *find_part(const thaw_reader *reader, const yaml_node_t *key, const char *where,
                                    const thaw_shelf *shelf)
{
    const char *names[MOST_NAMES];
    const char *text = thaw_reader_text(reader, key, where);
    const thaw_colour *colour = text ? thaw_shelf_find_colour(shelf, text) : NULL;
    if (text && !colour) {
        thaw_reader_unknown(reader, thaw_reader_place(key), where, text, names,
                            thaw_shelf_colour_names(shelf, names, MOST_NAMES));
    } else if (text && thaw_shelf_is_mixture(shelf, text)) {
        thaw_faults_add(reader->faults, thaw_reader_place(key), "write its parts instead",
                        "%s: `%.60s` is a mixture of your own, and those are not mixed again", where, text);
        return NULL;
    }
    return colour;
}

/* Adds a share of a colour's dyes; false if they are too many. */
static bool pour(const thaw_colour *from, double share, thaw_colour *into)
{
    for (int p = 0; p < from->n_parts; p++) {
        int at = 0;
        while (at < into->n_parts && into->parts[at].component != from->parts[p].component) {
            at++;
        }
        if (at == THAW_MAX_PARTS) {
            return false;
        }
        if (at == into->n_parts) {
            into->parts[at].component = from->parts[p].component;
            into->parts[at].share = 0.0;
            into->n_parts++;
        }
        into->parts[at].share += share * from->parts[p].share;
    }
    return true;
}

/* Parts and their colours; false with faults where something does not fit. */
static bool read_recipe(const thaw_reader *reader, const yaml_node_t *node, const char *where, const thaw_shelf *shelf,
                        thaw_recipe *recipe, const thaw_colour **colours)
{
    bool fine = true;
    recipe->n = 0;
    for (yaml_node_pair_t *pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; pair++) {
        const yaml_node_t *key = thaw_reader_node(reader, pair->key);
        double parts = 0.0;
        if (recipe->n == THAW_MAX_PARTS) {
            thaw_faults_add(reader->faults, thaw_reader_place(key), NULL, "%s: more than %d parts", where,
                            THAW_MAX_PARTS);
            return false;
        }
        const thaw_colour *colour = find_part(reader, key, where, shelf);
        fine = read_parts(reader, thaw_reader_node(reader, pair->value), where, &parts) && colour && fine;
        for (int i = 0; i < recipe->n && colour; i++) {
            if (colours[i] == colour) {
                thaw_faults_add(reader->faults, thaw_reader_place(key), "keep one of the two",
                                "%s: `%s` is given twice", where, colour->name);
                fine = false;
            }
        }
        snprintf(recipe->of[recipe->n].name, THAW_OWN_NAME, "%s", colour ? colour->name : "");
        recipe->of[recipe->n].parts = parts;
        colours[recipe->n++] = colour;
    }
    if (recipe->n == 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "such as `{ blue: 2, violet: 1 }`",
                        "%s: a mixture without parts", where);
    }
    return fine && recipe->n > 0;
}

static void name_mixture(thaw_own_colour *mixed)
{
    size_t used = 0;
    mixed->name[0] = '\0';
    for (int i = 0; i < mixed->recipe.n && used < sizeof mixed->name; i++) {
        used += (size_t)snprintf(mixed->name + used, sizeof mixed->name - used, "%s%g %s", i ? " + " : "",
                                 mixed->recipe.of[i].parts, mixed->recipe.of[i].name);
    }
}

const thaw_colour *thaw_own_mix(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                                thaw_shelf *shelf, thaw_own_colour *mixed)
{
    const thaw_colour *colours[THAW_MAX_PARTS];
    thaw_recipe recipe;
    double sum = 0.0;
    if (node->type != YAML_MAPPING_NODE) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "such as `{ blue: 2, violet: 1 }`",
                        "%s: lines of `colour: parts` are wanted here", where);
        return NULL;
    }
    if (!read_recipe(reader, node, where, shelf, &recipe, colours)) {
        return NULL;
    }
    for (int i = 0; i < recipe.n; i++) {
        sum += recipe.of[i].parts;
    }
    thaw_colour mix = {.name = mixed->name};
    for (int i = 0; i < recipe.n; i++) {
        if (!pour(colours[i], recipe.of[i].parts / sum, &mix)) {
            thaw_faults_add(reader->faults, thaw_reader_place(node), "leave a colour out",
                            "%s: more than %d different dyes in one mixture", where, THAW_MAX_PARTS);
            return NULL;
        }
    }
    mixed->recipe = recipe;
    mixed->colour = mix;
    if (!mixed->name[0]) {
        name_mixture(mixed);
    }
    return &mixed->colour;
}

static void read_colour(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    static const char *const keys[] = {"name", "parts"};
    yaml_node_t *values[2];
    char name[THAW_OWN_NAME] = "";
    if (!thaw_reader_map(reader, node, "own-colours", keys, 2, values)) {
        return;
    }
    if (!values[0]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "own-colours.name", "name: storm");
    }
    if (!values[1]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "own-colours.parts", "parts: { navy: 3, black: 1 }");
    }
    const char *text = text_of(values[0]);
    const char *other = find_own_dye(shelf, text) >= 0 ? text : taken(text);
    if (!thaw_own_name(reader, values[0], "own-colours.name", other, name)) {
        return;
    }
    int found = -1;
    for (int i = 0; i < shelf->n_colours; i++) {
        found = thaw_words_same(name, shelf->colours[i].name) ? i : found;
    }
    int at = thaw_own_place(reader, values[0], name, found, found >= 0 ? shelf->colours[found].file : 0, shelf->n_files,
                            &shelf->n_colours, THAW_MAX_OWN_COLOURS);
    if (at >= 0) {
        thaw_own_colour *own = &shelf->colours[at];
        snprintf(own->name, sizeof own->name, "%s", name);
        own->file = shelf->n_files;
        own->colour = (thaw_colour){.name = own->name};
        if (values[1]) {
            thaw_own_mix(reader, values[1], "own-colours.parts", shelf, own);
        }
    }
}

void thaw_own_read_colours(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    read_list(reader, node, "own-colours", THAW_MAX_OWN_COLOURS, read_colour, shelf);
}
