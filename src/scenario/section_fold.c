/* Folds: `flat`, or a list in the order in which they are made. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "scenario/fold_keys.h"
#include "scenario/sections.h"

#define N_FOLDS ((int)THAW_FOLD_KINDS)

#define NARROWEST_PLEAT_M 0.01 /* estimate: what hands can fold */
#define MOST_LAYERS       256  /* estimate: a bundle thicker than that is not folded by hand */

static const char *const REMARKS[THAW_FOLD_KINDS] = {
    [THAW_FOLD_FLAT] = "laid out flat, one layer",
    [THAW_FOLD_ACCORDION] = "zigzag pleats: pleats (2 to 64), along (width or length), waviness (0 mm to 50 mm)",
    [THAW_FOLD_SCRUNCH] = "pushed together by hand: to (plan area left, 15 % to 100 %, or loose, medium, tight), "
                          "or size (of the heap)",
    [THAW_FOLD_CRUMPLE] = "pushed together where a picture is dark: picture (PNG), to (plan area left where it is black, "
                          "15 % to 90 %, or loose, medium, tight)",
    [THAW_FOLD_FAN] = "pleats that meet in a point: pleats (2 to 32), from (a corner, or top, right, bottom, left), "
                      "waviness",
    [THAW_FOLD_TRIANGLE] = "a strip folded to and fro like a flag: corner (right or equal), along, waviness",
    [THAW_FOLD_RADIAL] = "in half, then into wedges round the middle: order (2 to 16 repeats), waviness",
    [THAW_FOLD_TWIST] = "pinched in the middle and turned into a spiral: arms (3 to 48 pleats), to (plan area left, "
                        "15 % to 80 %), turn (right or left)",
    [THAW_FOLD_ROLL] = "rolled round a pole: along, pole (its diameter, 5 mm to 30 cm), slant (straight or diagonal)",
    [THAW_FOLD_GATHER] = "drawn up along rows of stitches: along, rows (1 to 40), to (length left, 15 % to 90 %), "
                         "stitch (its length), band, tightness",
    [THAW_FOLD_KNOT] = "a corner gathered and knotted: corner, size (from the corner to the neck, 5 cm to 40 cm), "
                       "tightness",
    [THAW_FOLD_TIE] = "bands across the bundle so far: along, number (1 to 40) or at (where the one is), band (how "
                      "broad), tightness (5 % to 100 %, or loose, firm, tight)",
};

int thaw_folds_count(void)
{
    return N_FOLDS;
}

const char *thaw_folds_name(int i)
{
    return i >= 0 && i < N_FOLDS ? thaw_fold_keys_name((thaw_fold_kind)i) : NULL;
}

const char *thaw_folds_remark(int i)
{
    return i >= 0 && i < N_FOLDS ? REMARKS[i] : NULL;
}

/* The bundle while its folds are read, roughly: what is checked is whether hands can fold it. */
typedef struct rough {
    double size_m[2];              /* along the width and the length */
    double layers;
    const char *heap;              /* the fold that made it a heap, not a stack of even layers; NULL for none */
} rough;

static double layers_of(const thaw_fold *fold, const rough *so_far)
{
    const double other = so_far->size_m[1 - (int)fold->along];
    switch (fold->kind) {
    case THAW_FOLD_ACCORDION:
    case THAW_FOLD_FAN:
        return fold->pleats;
    case THAW_FOLD_RADIAL:
        return 2.0 * fold->order;
    case THAW_FOLD_TRIANGLE:
        return other > 0.0 ? fmax(1.0, 2.0 * so_far->size_m[fold->along] / other) : 1.0;
    case THAW_FOLD_TWIST:
    case THAW_FOLD_GATHER:
        return 1.0 / fold->share;
    default:
        return 1.0; /* how deep a heap gets is for the heap */
    }
}

static void shrink(const thaw_fold *fold, rough *bundle)
{
    const int along = (int)fold->along;
    bundle->layers *= layers_of(fold, bundle);
    if (fold->kind == THAW_FOLD_ACCORDION) {
        bundle->size_m[along] /= fold->pleats;
    } else if (fold->kind == THAW_FOLD_TRIANGLE) {
        bundle->size_m[along] = bundle->size_m[1 - along];
    } else if (fold->kind == THAW_FOLD_GATHER) {
        bundle->size_m[along] *= fold->share;
    } else if (fold->kind == THAW_FOLD_SCRUNCH || fold->kind == THAW_FOLD_TWIST) {
        bundle->size_m[0] *= sqrt(fold->share);
        bundle->size_m[1] *= sqrt(fold->share);
    }
}

/* A knot takes up to half the diagonal of what lies there. */
static void check_knot(const thaw_reader *reader, const yaml_node_t *node, const thaw_fold *fold, const rough *bundle)
{
    double most_m = sqrt(0.5) * fmin(bundle->size_m[0], bundle->size_m[1]);
    if (fold->kind == THAW_FOLD_KNOT && most_m > 0.0 && fold->size_m > most_m) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "tie a smaller knot, or tie it before the other folds",
                        "knot: %.3g cm of the corner are wanted, and the bundle has %.3g cm to give",
                        fold->size_m * 100.0, most_m * 100.0);
    }
}

/* A twist, a roll and gathers take the bundle for a slab as thick as its thickest place. */
static void check_slab(const thaw_reader *reader, const yaml_node_t *node, const thaw_fold *fold, rough *bundle)
{
    const char *name = thaw_fold_keys_name(fold->kind);
    if (bundle->heap && (fold->kind == THAW_FOLD_TWIST || fold->kind == THAW_FOLD_ROLL || fold->kind == THAW_FOLD_GATHER)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "put it first",
                        "%s: what `%s` has made is too lumpy for it", name, bundle->heap);
    }
    if (fold->kind == THAW_FOLD_KNOT || fold->kind == THAW_FOLD_SCRUNCH ||
        fold->kind == THAW_FOLD_CRUMPLE || fold->kind == THAW_FOLD_ROLL) {
        bundle->heap = name;
    }
}

/* None too narrow, not too many layers. */
static void check_hands(const thaw_reader *reader, const yaml_node_t *node, const thaw_fold *fold, rough *bundle)
{
    const char *name = thaw_fold_keys_name(fold->kind);
    const double before_m = bundle->size_m[fold->along], layers_before = bundle->layers;
    shrink(fold, bundle);
    if (fold->kind == THAW_FOLD_TIE && fold->number > 1 && fold->at > 0.0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "give each tie an entry of its own, or leave out `at`",
                        "tie: `at` is the place of one band, and `number` asks for %d", fold->number);
    }
    check_knot(reader, node, fold, bundle);
    check_slab(reader, node, fold, bundle);
    double size_m = bundle->size_m[fold->along];
    if (fold->kind == THAW_FOLD_ACCORDION && before_m > 0.0 && size_m < NARROWEST_PLEAT_M) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "use fewer pleats",
                        "accordion: these pleats would be %.2g mm wide, at least 10 mm is needed", size_m * 1000.0);
    } else if (fold->kind == THAW_FOLD_TRIANGLE && before_m < 0.99 * size_m) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "fold the cloth into a strip with `accordion` first, or fold along the other way",
                        "triangle: the strip would be %.3g cm long and %.3g cm broad", before_m * 100.0,
                        size_m * 100.0);
    } else if (bundle->layers > MOST_LAYERS && bundle->layers > layers_before) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "use fewer pleats",
                        "%s: the bundle would have %.0f layers, %d is the limit", name, bundle->layers, MOST_LAYERS);
    }
}

/* The picture of a crumple, when the fold has its place in the specification. */
static void read_picture(const thaw_reader *reader, const yaml_node_t *whole, const yaml_node_t *settings, thaw_fold *fold)
{
    enum { PICTURE, SUM, N };
    yaml_node_t *values[N] = {NULL, NULL};
    for (yaml_node_pair_t *pair = settings && settings->type == YAML_MAPPING_NODE ? settings->data.mapping.pairs.start : NULL;
         pair && pair < settings->data.mapping.pairs.top; pair++) {
        const yaml_node_t *key = thaw_reader_node(reader, pair->key);
        const char *word = key->type == YAML_SCALAR_NODE ? (const char *)key->data.scalar.value : "";
        values[PICTURE] = strcmp(word, "picture") == 0 ? thaw_reader_node(reader, pair->value) : values[PICTURE];
        values[SUM] = strcmp(word, "sum") == 0 ? thaw_reader_node(reader, pair->value) : values[SUM];
    }
    if (!values[PICTURE]) {
        thaw_reader_missing(reader, thaw_reader_place(whole), "crumple.picture", "picture: waves.png");
        return;
    }
    const char *name = thaw_reader_text(reader, values[PICTURE], "crumple.picture");
    fold->painted = (thaw_area){.name = "picture", .shape = THAW_AREA_PICTURE};
    if (!name || !thaw_pictures_use(reader->pictures, reader->path, name, thaw_reader_place(values[PICTURE]), &fold->painted,
                                    reader->faults)) {
        return;
    }
    const char *sum = values[SUM] ? thaw_reader_text(reader, values[SUM], "crumple.sum") : NULL;
    if (sum && (uint32_t)strtoul(sum, NULL, 16) != fold->painted.picture_sum) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[SUM]), "leave `sum` out to take the picture as it is now",
                        "picture: `%s` is not the picture that was used before", fold->painted.picture);
    }
}

static void read_keys(const thaw_reader *reader, const yaml_node_t *node, thaw_fold *fold, thaw_origins *origins,
                      int at)
{
    const char *names[THAW_MAX_FOLD_KEYS];
    yaml_node_t *values[THAW_MAX_FOLD_KEYS];
    int n = 0;
    const thaw_fold_key *keys = thaw_fold_keys_of(fold->kind, &n);
    for (int i = 0; i < n; i++) {
        names[i] = keys[i].name;
    }
    if (!thaw_reader_map(reader, node, thaw_fold_keys_name(fold->kind), names, n, values)) {
        return;
    }
    for (int i = 0; i < n; i++) {
        if (thaw_fold_keys_read(&keys[i], reader, values[i], fold)) {
            origins->folds[at].keys[i] = THAW_FROM_FILE;
        }
    }
}

static void name_folds(const char *names[N_FOLDS])
{
    for (int i = 0; i < N_FOLDS; i++) {
        names[i] = thaw_fold_keys_name((thaw_fold_kind)i);
    }
}

/* The kind that the only key of a mapping names, and its settings; -1 and a fault otherwise. */
static int read_one_key(const thaw_reader *reader, const yaml_node_t *node,
                        const yaml_node_t **settings)
{
    yaml_node_t *values[N_FOLDS];
    const char *names[N_FOLDS];
    int found = -1, n = 0, faults = thaw_faults_count(reader->faults);
    name_folds(names);
    if (!thaw_reader_map(reader, node, "fold", names, N_FOLDS, values)) {
        return -1;
    }
    for (int i = 0; i < N_FOLDS; i++) {
        if (values[i]) {
            found = i;
            n++;
        }
    }
    if (n != 1) {
        if (thaw_faults_count(reader->faults) == faults) {
            thaw_faults_add(reader->faults, thaw_reader_place(node),
                            "start each fold with `- ` on a line of its own",
                            "fold: one fold an entry is wanted here");
        }
        return -1;
    }
    *settings = values[found];
    return found;
}

static void read_fold(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario, rough *bundle)
{
    const yaml_node_t *settings = NULL;
    const char *names[N_FOLDS];
    thaw_specification *spec = &scenario->spec;
    name_folds(names);
    int kind = node->type == YAML_MAPPING_NODE ? read_one_key(reader, node, &settings)
                                               : thaw_reader_word(reader, node, "fold", names, N_FOLDS);
    if (kind <= THAW_FOLD_FLAT) {
        return; /* laying flat changes nothing */
    }
    thaw_fold fold = thaw_fold_keys_default((thaw_fold_kind)kind);
    if (kind == THAW_FOLD_TRIANGLE && bundle->size_m[0] > bundle->size_m[1]) {
        fold.along = THAW_ALONG_WIDTH;
    }
    if (settings) {
        read_keys(reader, settings, &fold, &scenario->origins, spec->n_folds);
    }
    check_hands(reader, node, &fold, bundle);
    spec->folds[spec->n_folds++] = fold;
    if (kind == THAW_FOLD_CRUMPLE) {
        read_picture(reader, node, settings, &spec->folds[spec->n_folds - 1]);
    }
}

void thaw_section_fold(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    const thaw_specification *spec = &scenario->spec;
    yaml_node_t *items[THAW_MAX_FOLDS];
    rough bundle = {{spec->width_m, spec->hang.is_set ? spec->hang.from_m : spec->length_m}, 1.0, NULL};
    if (!node) {
        return;
    }
    scenario->origins.fold = THAW_FROM_FILE;
    if (node->type != YAML_SEQUENCE_NODE) {
        read_fold(reader, node, scenario, &bundle);
        return;
    }
    int n = thaw_reader_list(reader, node, "fold", THAW_MAX_FOLDS, items);
    for (int i = 0; i < n; i++) {
        read_fold(reader, items[i], scenario, &bundle);
    }
}
