/* A garment: a named shape in a size, or panels and seams of one's own. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/words.h"
#include "data/garments.h"
#include "scenario/garment_checks.h"
#include "scenario/sections.h"
#include "scenario/writer.h"

#define LEAST_M 0.05               /* as cloth */
#define MOST_M 10.0
#define LEAST_AREA_M2 0.001        /* of a panel */
#define SEAM_M 0.005               /* by so much the two sides of a seam may differ in length, and lie apart */
#define SEAM_SHARE 0.02            /* or by so much of the length */
#define OVERLAP_M2 1e-4            /* more is no matter of rounding */

enum { SHAPE, SIZE, WIDE, LONG, SLEEVE, STRAP, HANDLE, FIRST, PANELS, SEAMS, N_KEYS };
static const char *const KEYS[N_KEYS] = {"shape", "size", "width", "length", "sleeve", "strap", "handle", "first",
                                         "panels", "seams"};

static const thaw_rule PLACE = {"garment.panels.outline", THAW_LENGTH, -MOST_M, MOST_M, false, "-10 m to 10 m"};

static void fault(const thaw_reader *reader, const yaml_node_t *node, const char *remedy, const char *what)
{
    thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "garment: %s", what);
}

static int cut_of(const thaw_reader *reader, const yaml_node_t *node)
{
    const char *words[THAW_GARMENT_CUTS];
    for (int i = 0; i < THAW_GARMENT_CUTS; i++) {
        words[i] = thaw_garments_cut(i);
    }
    const int found = node ? thaw_reader_word(reader, node, "garment.size", words, THAW_GARMENT_CUTS) : 1;
    return found < 0 ? 1 : found;
}

static int shape_of(const thaw_reader *reader, const yaml_node_t *node)
{
    const char *words[16];
    int n = thaw_garments_count();
    for (int i = 0; i < n; i++) {
        words[i] = thaw_garments_at(i)->name;
    }
    return thaw_reader_word(reader, node, "garment.shape", words, n);
}

/* Keys WIDE to HANDLE that belong to the shape. */
static void read_sizes(const thaw_reader *reader, yaml_node_t *const *values, const thaw_garment_shape *shape, int cut,
                       thaw_scenario *scenario, thaw_garment *g)
{
    bool used[N_KEYS] = {false};
    for (int s = 0; s < THAW_GARMENT_SIZES && shape->sizes[s].key; s++) {
        const thaw_garment_size *size = &shape->sizes[s];
        char name[40];
        snprintf(name, sizeof name, "garment.%s", size->key);
        const thaw_rule rule = {name, THAW_LENGTH, size->lowest_m, size->highest_m, false, size->allowed};
        g->sizes_m[s] = size->cuts_m[cut];
        scenario->origins.garment_sizes[s] = values[SIZE] ? THAW_FROM_FILE : THAW_FROM_DEFAULT;
        for (int k = WIDE; k <= HANDLE; k++) {
            if (strcmp(KEYS[k], size->key) == 0) {
                used[k] = true;
                if (thaw_reader_quantity(reader, values[k], &rule, &g->sizes_m[s])) {
                    scenario->origins.garment_sizes[s] = THAW_FROM_FILE;
                }
            }
        }
    }
    for (int k = WIDE; k <= HANDLE; k++) {
        if (values[k] && !used[k]) {
            char what[80];
            snprintf(what, sizeof what, "a %s has no `%s`", shape->name, KEYS[k]);
            fault(reader, values[k], "leave it out", what);
        }
    }
}

/* What one size asks of another. */
static void check_sizes(const thaw_reader *reader, const yaml_node_t *node, const thaw_garment *g)
{
    int edges[2];
    for (int p = 0; p < g->n_panels; p++) {
        if (thaw_garment_crossing(&g->panels[p], edges)) {
            fault(reader, node, "make it longer or narrower, or its sleeves, straps or handles smaller",
                  "these sizes do not go together: the outline would cross itself");
            return;
        }
    }
}

static void read_shape(const thaw_reader *reader, const yaml_node_t *node, yaml_node_t *const *values,
                       thaw_scenario *scenario, thaw_garment *g)
{
    static const char *const ends[] = {"top", "bottom"};
    const int shape = shape_of(reader, values[SHAPE]), faults = thaw_faults_count(reader->faults);
    if (values[PANELS] || values[SEAMS]) {
        fault(reader, values[PANELS] ? values[PANELS] : values[SEAMS], "leave out `shape`, or the panels and seams",
              "a named shape has panels and seams already");
    }
    if (shape < 0) {
        return;
    }
    read_sizes(reader, values, thaw_garments_at(shape), cut_of(reader, values[SIZE]), scenario, g);
    g->bottom_first = values[FIRST] && thaw_reader_word(reader, values[FIRST], "garment.first", ends, 2) == 1;
    scenario->origins.garment_first = values[FIRST] ? THAW_FROM_FILE : THAW_FROM_DEFAULT;
    thaw_garments_cut_out(shape, g);
    if (thaw_faults_count(reader->faults) == faults) {
        check_sizes(reader, node, g);
    }
}

static bool read_outline(const thaw_reader *reader, const yaml_node_t *node, thaw_garment_panel *p)
{
    yaml_node_t *items[THAW_MAX_OUTLINE], *pair[2];
    bool fine = true;
    const int n = thaw_reader_list(reader, node, "garment.panels.outline", THAW_MAX_OUTLINE, items);
    if (n < 3) {
        fault(reader, node, "write `[[0 cm, 0 cm], [40 cm, 0 cm], [40 cm, 60 cm], [0 cm, 60 cm]]`",
              "an outline is a list of at least three corners");
        return false;
    }
    for (int i = 0; i < n; i++) {
        if (thaw_reader_list(reader, items[i], "garment.panels.outline", 2, pair) != 2) {
            fault(reader, items[i], "write `[across, down]`, such as `[40 cm, 60 cm]`", "a corner is wanted here");
            return false;
        }
        for (int d = 0; d < 2; d++) {
            fine = thaw_reader_quantity(reader, pair[d], &PLACE, &p->corners[i][d]) && fine;
        }
    }
    p->n_corners = n;
    return fine;
}

static void check_outline(const thaw_reader *reader, const yaml_node_t *node, const thaw_garment_panel *p)
{
    int edges[2];
    if (thaw_garment_crossing(p, edges)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "list the corners in order round the panel",
                        "garment: the outline of `%s` crosses itself: the edge from corner %d meets that from corner %d",
                        p->name, edges[0], edges[1]);
    } else if (thaw_garment_panel_area_m2(p) < LEAST_AREA_M2) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "at least 10 cm2", "garment: `%s` is only %.2g cm2 large",
                        p->name, 1e4 * thaw_garment_panel_area_m2(p));
    }
}

static void read_name(const thaw_reader *reader, const yaml_node_t *node, const thaw_garment *g, thaw_garment_panel *p)
{
    const char *name = thaw_reader_text(reader, node, "garment.panels.name");
    if (!name) {
        return;
    }
    if (strlen(name) >= sizeof p->name || strchr(name, '"') || strchr(name, '\\')) {
        fault(reader, node, "a short word, such as `front`", "this name of a panel is too long, or has signs it may not have");
        return;
    }
    for (int i = 0; i < g->n_panels; i++) {
        if (thaw_words_same(name, g->panels[i].name)) {
            fault(reader, node, "give each a name of its own", "two panels have this name");
        }
    }
    strcpy(p->name, name);
}

static bool read_panel(const thaw_reader *reader, const yaml_node_t *node, thaw_garment *g)
{
    enum { NAME, LAYER, OUTLINE, N };
    static const char *const keys[N] = {"name", "layer", "outline"};
    yaml_node_t *values[N];
    uint64_t layer = (uint64_t)g->n_panels + 1;
    thaw_garment_panel p = {.n_corners = 0};
    if (!thaw_reader_map(reader, node, "garment.panels", keys, N, values)) {
        return false;
    }
    snprintf(p.name, sizeof p.name, "panel %d", g->n_panels + 1);
    if (values[NAME]) {
        read_name(reader, values[NAME], g, &p);
    }
    if (values[LAYER]) {
        thaw_reader_whole(reader, values[LAYER], "garment.panels.layer", 1, THAW_MAX_LAYERS, &layer);
    }
    p.layer = (int)layer - 1;
    if (!values[OUTLINE]) {
        thaw_reader_missing(reader, thaw_reader_place(node), "garment.panels.outline",
                            "outline: [[0 cm, 0 cm], [40 cm, 0 cm], [40 cm, 60 cm], [0 cm, 60 cm]]");
        return false;
    }
    if (!read_outline(reader, values[OUTLINE], &p)) {
        return false;
    }
    check_outline(reader, values[OUTLINE], &p);
    g->panels[g->n_panels++] = p;
    return true;
}

/* "front 3-5": the panel and two of its corners, counted from 1. */
static bool read_side(const thaw_reader *reader, const yaml_node_t *node, const thaw_garment *g, int side, thaw_seam *seam)
{
    const char *text = thaw_reader_text(reader, node, "garment.seams");
    const char *names[THAW_MAX_PANELS], *gap = text ? strrchr(text, ' ') : NULL;
    char name[80], *end = NULL;
    int found = -1;
    if (!text) {
        return false;
    }
    const long from = gap && isdigit((unsigned char)gap[1]) ? strtol(gap + 1, &end, 10) : 0;
    const long to = end && *end == '-' && isdigit((unsigned char)end[1]) ? strtol(end + 1, &end, 10) : 0;
    if (!gap || !end || *end || from < 1 || to < 1 || (size_t)(gap - text) >= sizeof name) {
        fault(reader, node, "write `[front 3-4, back 3-4]`", "a panel and two of its corners are wanted here");
        return false;
    }
    snprintf(name, sizeof name, "%.*s", (int)(gap - text), text);
    for (int p = 0; p < g->n_panels; p++) {
        names[p] = g->panels[p].name;
        found = thaw_words_same(name, names[p]) ? p : found;
    }
    if (found < 0) {
        thaw_reader_unknown(reader, thaw_reader_place(node), "garment.seams", name, names, g->n_panels);
        return false;
    }
    const int n = g->panels[found].n_corners;
    if (from > n || to > n || from == to) {
        char what[160];
        snprintf(what, sizeof what, "`%.60s` has corners 1 to %d, and a seam runs from one to another", name, n);
        fault(reader, node, "count the corners as they are listed", what);
        return false;
    }
    seam->panel[side] = found;
    seam->from[side] = (int)from - 1;
    seam->to[side] = (int)to - 1;
    return true;
}

static void read_seam(const thaw_reader *reader, const yaml_node_t *node, thaw_garment *g)
{
    yaml_node_t *sides[2];
    thaw_seam seam;
    if (thaw_reader_list(reader, node, "garment.seams", 2, sides) != 2) {
        fault(reader, node, "write `[front 3-4, back 3-4]`", "the two sides of a seam are wanted here");
        return;
    }
    if (!(read_side(reader, sides[0], g, 0, &seam) & read_side(reader, sides[1], g, 1, &seam))) {
        return;
    }
    const double a = thaw_seam_length_m(g, &seam, 0), b = thaw_seam_length_m(g, &seam, 1);
    const double spare = fmax(SEAM_M, SEAM_SHARE * fmax(a, b)), apart = thaw_seam_gap_m(g, &seam);
    if (seam.panel[0] == seam.panel[1]) {
        fault(reader, node, "join two panels, or draw both parts as one", "this seam joins a panel to itself");
    } else if (fabs(a - b) > spare) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "a corner may be miscounted, or an outline misdrawn",
                        "garment: the sides of this seam are %.4g cm and %.4g cm long", 100.0 * a, 100.0 * b);
    } else if (apart > SEAM_M + fabs(a - b)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "draw the panels as they lie when the garment is laid flat, all from one corner of the table",
                        "garment: the sides of this seam lie up to %.3g cm apart", 100.0 * apart);
    } else {
        g->seams[g->n_seams++] = seam;
    }
}

/* Everything from the upper left corner of the box. */
static void settle_box(thaw_garment *g)
{
    double low[2] = {MOST_M, MOST_M}, high[2] = {-MOST_M, -MOST_M};
    for (int p = 0; p < g->n_panels; p++) {
        for (int i = 0; i < g->panels[p].n_corners; i++) {
            for (int d = 0; d < 2; d++) {
                low[d] = fmin(low[d], g->panels[p].corners[i][d]);
                high[d] = fmax(high[d], g->panels[p].corners[i][d]);
            }
        }
    }
    for (int p = 0; p < g->n_panels; p++) {
        for (int i = 0; i < g->panels[p].n_corners; i++) {
            g->panels[p].corners[i][0] -= low[0];
            g->panels[p].corners[i][1] -= low[1];
        }
    }
    g->width_m = high[0] - low[0];
    g->length_m = high[1] - low[1];
}

static void check_layers(const thaw_reader *reader, const yaml_node_t *node, thaw_garment *g)
{
    bool used[THAW_MAX_LAYERS] = {false};
    for (int p = 0; p < g->n_panels; p++) {
        used[g->panels[p].layer] = true;
        g->n_layers = g->panels[p].layer + 1 > g->n_layers ? g->panels[p].layer + 1 : g->n_layers;
        for (int o = 0; o < p; o++) {
            if (g->panels[o].layer == g->panels[p].layer &&
                thaw_garment_overlap_m2(&g->panels[o], &g->panels[p]) > OVERLAP_M2) {
                thaw_faults_add(reader->faults, thaw_reader_place(node), "put one of them into the next `layer`",
                                "garment: `%s` and `%s` lie on the same place in layer %d", g->panels[o].name,
                                g->panels[p].name, g->panels[p].layer + 1);
            }
        }
    }
    for (int l = 0; l < g->n_layers; l++) {
        if (!used[l]) {
            thaw_faults_add(reader->faults, thaw_reader_place(node), "count layers from 1, the lowest, without a gap",
                            "garment: no panel lies in layer %d", l + 1);
        }
    }
    if (!(fmin(g->width_m, g->length_m) >= LEAST_M && fmax(g->width_m, g->length_m) <= MOST_M)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "allowed: 5 cm to 10 m each way",
                        "garment: all panels together are %.3g cm wide and %.3g cm long", 100.0 * g->width_m,
                        100.0 * g->length_m);
    }
}

static void read_panels(const thaw_reader *reader, yaml_node_t *const *values, thaw_garment *g)
{
    yaml_node_t *items[THAW_MAX_PANELS > THAW_MAX_SEAMS ? THAW_MAX_PANELS : THAW_MAX_SEAMS];
    const int n = thaw_reader_list(reader, values[PANELS], "garment.panels", THAW_MAX_PANELS, items);
    bool fine = n > 0;
    if (!fine) {
        fault(reader, values[PANELS], "start each with `- name: front`, and `outline:` below", "a list of panels is wanted here");
        return;
    }
    for (int k = SIZE; k <= FIRST; k++) {
        if (values[k]) {
            char what[80];
            snprintf(what, sizeof what, "`%s` goes with `shape`", KEYS[k]);
            fault(reader, values[k], "leave it out: the outlines say it", what);
        }
    }
    g->shape = -1;
    for (int i = 0; i < n; i++) {
        fine = read_panel(reader, items[i], g) && fine;
    }
    if (!fine) {
        return;
    }
    settle_box(g);
    check_layers(reader, values[PANELS], g);
    const int n_seams = values[SEAMS] ? thaw_reader_list(reader, values[SEAMS], "garment.seams", THAW_MAX_SEAMS, items) : 0;
    if (n_seams < 0) {
        fault(reader, values[SEAMS], "write each as `- [front 3-4, back 3-4]`", "a list of seams is wanted here");
    }
    for (int i = 0; i < n_seams; i++) {
        read_seam(reader, items[i], g);
    }
}

void thaw_section_garment(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    yaml_node_t *values[N_KEYS];
    thaw_garment garment = {.shape = -1};
    if (!node) {
        return;
    }
    scenario->origins.garment = THAW_FROM_FILE;
    if (!thaw_reader_map(reader, node, "garment", KEYS, N_KEYS, values)) {
        return;
    }
    if (values[SHAPE]) {
        read_shape(reader, node, values, scenario, &garment);
    } else if (values[PANELS]) {
        read_panels(reader, values, &garment);
    } else {
        thaw_reader_missing(reader, thaw_reader_place(node), "garment.shape", "shape: T-shirt");
    }
    if (garment.n_panels > 0 && garment.width_m > 0.0) {
        scenario->spec.garment = garment;
        scenario->spec.width_m = garment.width_m;
        scenario->spec.length_m = garment.length_m;
    }
}

static void write_length(thaw_writer *w, const thaw_units *units, double si)
{
    char text[64];
    thaw_quantity_print(units, THAW_LENGTH, si, text, sizeof text);
    thaw_writer_add(w, "%s", text);
}

static void write_outlines(thaw_writer *w, const thaw_units *units, const thaw_garment *g)
{
    thaw_writer_add(w, "  panels:\n");
    for (int p = 0; p < g->n_panels; p++) {
        thaw_writer_add(w, "    - name: \"%s\"\n      layer: %d\n      outline: [", g->panels[p].name, g->panels[p].layer + 1);
        for (int i = 0; i < g->panels[p].n_corners; i++) {
            thaw_writer_add(w, i ? ", [" : "[");
            write_length(w, units, g->panels[p].corners[i][0]);
            thaw_writer_add(w, ", ");
            write_length(w, units, g->panels[p].corners[i][1]);
            thaw_writer_add(w, "]");
        }
        thaw_writer_add(w, "]\n");
    }
    thaw_writer_add(w, g->n_seams ? "  seams:\n" : "");
    for (int s = 0; s < g->n_seams; s++) {
        const thaw_seam *seam = &g->seams[s];
        thaw_writer_add(w, "    - [\"%s %d-%d\", \"%s %d-%d\"]\n", g->panels[seam->panel[0]].name, seam->from[0] + 1,
                        seam->to[0] + 1, g->panels[seam->panel[1]].name, seam->from[1] + 1, seam->to[1] + 1);
    }
}

void thaw_section_garment_write(thaw_writer *w, const thaw_units *units, const thaw_garment *garment)
{
    if (garment->n_panels == 0) {
        return;
    }
    thaw_writer_add(w, "garment:\n");
    const thaw_garment_shape *shape = thaw_garments_at(garment->shape);
    if (!shape) {
        write_outlines(w, units, garment);
        return;
    }
    thaw_writer_add(w, "  shape: %s\n", shape->name);
    for (int s = 0; s < THAW_GARMENT_SIZES && shape->sizes[s].key; s++) {
        thaw_writer_add(w, "  %s: ", shape->sizes[s].key);
        write_length(w, units, garment->sizes_m[s]);
        thaw_writer_add(w, "\n");
    }
    thaw_writer_add(w, "  first: %s\n", garment->bottom_first ? "bottom" : "top");
}
