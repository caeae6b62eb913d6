/* Folds: `flat`, or a list in the order in which they are made. */
#include <stdio.h>
#include <string.h>

#include "scenario/sections.h"

static const char *const FOLDS[] = {"flat", "accordion", "scrunch"};
static const char *const REMARKS[] = {
    "laid out flat, one layer",
    "zigzag pleats: pleats (2 to 64), along (width or length), waviness (0 mm to 50 mm)",
    "pushed together by hand: to (plan area left, 15 % to 100 %)",
};
#define N_FOLDS ((int)(sizeof FOLDS / sizeof FOLDS[0]))

#define NARROWEST_PLEAT_M 0.01 /* estimate: what hands can fold */
#define MOST_LAYERS       256  /* estimate: a bundle thicker than that is not folded by hand */

static const thaw_rule WAVINESS = {"accordion.waviness", THAW_LENGTH, 0.0, 0.05, false,
                                   "0 mm to 50 mm"};
static const thaw_rule SHARE = {"scrunch.to", THAW_SHARE, 0.15, 1.0, false, "15 % to 100 %"};

int thaw_folds_count(void)
{
    return N_FOLDS;
}

const char *thaw_folds_name(int i)
{
    return i >= 0 && i < N_FOLDS ? FOLDS[i] : NULL;
}

const char *thaw_folds_remark(int i)
{
    return i >= 0 && i < N_FOLDS ? REMARKS[i] : NULL;
}

static thaw_fold default_fold(thaw_fold_kind kind)
{
    thaw_fold fold = {.kind = kind, .along = THAW_ALONG_LENGTH, .share = 1.0};
    if (kind == THAW_FOLD_ACCORDION) {
        fold.pleats = 6;
        fold.waviness_m = 0.003;
    } else if (kind == THAW_FOLD_SCRUNCH) {
        fold.share = 0.4;
    }
    return fold;
}

/* The pleats so far and these: none too narrow, not too many layers. `shrunk` holds by how much
 * the cloth has got shorter along the width and the length. */
static void check_pleats(const thaw_reader *reader, const yaml_node_t *node,
                         const thaw_specification *spec, const thaw_fold *fold, double shrunk[2])
{
    double length_m = spec->hang.is_set ? spec->hang.from_m : spec->length_m;
    double size_m = fold->along == THAW_ALONG_WIDTH ? spec->width_m : length_m;
    shrunk[fold->along] *= (double)fold->pleats;
    if (size_m > 0.0 && size_m / shrunk[fold->along] < NARROWEST_PLEAT_M) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "use fewer pleats",
                        "accordion: these pleats would be %.2g mm wide, at least 10 mm is needed",
                        size_m / shrunk[fold->along] * 1000.0);
    } else if (shrunk[0] * shrunk[1] > MOST_LAYERS) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "use fewer pleats",
                        "accordion: the bundle would have %.0f layers, %d is the limit",
                        shrunk[0] * shrunk[1], MOST_LAYERS);
    }
}

static void read_accordion(const thaw_reader *reader, const yaml_node_t *node, thaw_fold *fold,
                           thaw_origins *origins, int at)
{
    static const char *const keys[] = {"pleats", "along", "waviness"};
    static const char *const directions[] = {"width", "length"};
    yaml_node_t *values[3];
    uint64_t pleats = 0;
    if (!thaw_reader_map(reader, node, "accordion", keys, 3, values)) {
        return;
    }
    if (thaw_reader_whole(reader, values[0], "accordion.pleats", 2, 64, &pleats)) {
        fold->pleats = (int)pleats;
        origins->folds[at].pleats = THAW_FROM_FILE;
    }
    int along = thaw_reader_word(reader, values[1], "accordion.along", directions, 2);
    if (along >= 0) {
        fold->along = (thaw_direction)along;
        origins->folds[at].along = THAW_FROM_FILE;
    }
    if (thaw_reader_quantity(reader, values[2], &WAVINESS, &fold->waviness_m)) {
        origins->folds[at].waviness = THAW_FROM_FILE;
    }
}

static void read_scrunch(const thaw_reader *reader, const yaml_node_t *node, thaw_fold *fold,
                         thaw_origins *origins, int at)
{
    static const char *const keys[] = {"to"};
    yaml_node_t *values[1];
    if (thaw_reader_map(reader, node, "scrunch", keys, 1, values) &&
        thaw_reader_quantity(reader, values[0], &SHARE, &fold->share)) {
        origins->folds[at].share = THAW_FROM_FILE;
    }
}

/* The kind that the only key of a mapping names, and its settings; -1 and a fault otherwise. */
static int read_one_key(const thaw_reader *reader, const yaml_node_t *node,
                        const yaml_node_t **settings)
{
    yaml_node_t *values[N_FOLDS];
    int found = -1, n = 0, faults = thaw_faults_count(reader->faults);
    if (!thaw_reader_map(reader, node, "fold", FOLDS, N_FOLDS, values)) {
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

static void read_fold(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario,
                      double shrunk[2])
{
    const yaml_node_t *settings = NULL;
    thaw_specification *spec = &scenario->spec;
    int kind = node->type == YAML_MAPPING_NODE
                   ? read_one_key(reader, node, &settings)
                   : thaw_reader_word(reader, node, "fold", FOLDS, N_FOLDS);
    if (kind <= THAW_FOLD_FLAT) {
        return; /* laying flat changes nothing */
    }
    thaw_fold fold = default_fold((thaw_fold_kind)kind);
    if (settings && kind == THAW_FOLD_ACCORDION) {
        read_accordion(reader, settings, &fold, &scenario->origins, spec->n_folds);
    } else if (settings) {
        read_scrunch(reader, settings, &fold, &scenario->origins, spec->n_folds);
    }
    if (kind == THAW_FOLD_ACCORDION) {
        check_pleats(reader, node, spec, &fold, shrunk);
    }
    spec->folds[spec->n_folds++] = fold;
}

void thaw_section_fold(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    yaml_node_t *items[THAW_MAX_FOLDS];
    double shrunk[2] = {1.0, 1.0};
    if (!node) {
        return;
    }
    scenario->origins.fold = THAW_FROM_FILE;
    if (node->type != YAML_SEQUENCE_NODE) {
        read_fold(reader, node, scenario, shrunk);
        return;
    }
    int n = thaw_reader_list(reader, node, "fold", THAW_MAX_FOLDS, items);
    for (int i = 0; i < n; i++) {
        read_fold(reader, items[i], scenario, shrunk);
    }
}
