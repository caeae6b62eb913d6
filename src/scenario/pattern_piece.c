#include "scenario/pattern_piece.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/words.h"
#include "scenario/own.h"
#include "scenario/pattern_file.h"

#define MOST_CORNERS 400
#define MOST_WORDS   128
#define RADIAN       (3.14159265358979323846 / 180.0)
#define LONGEST_M    10.0
#define MOST_IMPORTANCE 100.0

enum { PIECE, OUTLINE, RECTANGLE, SHAPE, GRAIN, CUT, MIRRORED, ON_FOLD, ALLOWANCE, TURN, WISH, IMPORTANCE, N_KEYS };
static const char *const KEYS[N_KEYS] = {"piece", "outline", "rectangle", "shape", "grain", "cut", "mirrored", "on-fold",
                                         "seam-allowance", "turn", "wish", "importance"};

static bool read_yes(const thaw_reader *reader, const yaml_node_t *node, const char *where, bool otherwise)
{
    static const char *const words[] = {"no", "yes", "false", "true"};
    const int word = thaw_reader_word(reader, node, where, words, 4);
    return word < 0 ? otherwise : word % 2 == 1;
}

static bool read_name(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole, char *out)
{
    if (!node) {
        thaw_reader_missing(reader, whole, "piece", "piece: sleeve");
        return false;
    }
    const char *text = thaw_reader_text(reader, node, "piece");
    if (text && strlen(text) >= THAW_PIECE_NAME) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "use at most 47 bytes", "piece: `%.60s` is too long a name", text);
        return false;
    }
    if (text) {
        snprintf(out, THAW_PIECE_NAME, "%s", text);
    }
    return text != NULL;
}

/* ---- what is drawn ---- */

static bool read_pair(const thaw_piece_reader *from, const yaml_node_t *node, const char *where, double out[2])
{
    const double most = LONGEST_M / from->unit_m;
    char allowed[80];
    yaml_node_t *items[2];
    const int n = thaw_reader_list(from->reader, node, where, 2, items);
    snprintf(allowed, sizeof allowed, "two plain numbers, at most 10 m (%.0f), in the unit of the pattern", most);
    if (n != 2) {
        if (n < 0 || n == 1 || n == 0) {
            thaw_faults_add(from->reader->faults, thaw_reader_place(node), "for example `[12.5, 40]`",
                            "%s: two numbers are wanted here", where);
        }
        return false;
    }
    bool fine = true;
    for (int i = 0; i < 2; i++) {
        fine = thaw_own_number(from->reader, items[i], where, -most, most, allowed, &out[i]) && fine;
    }
    return fine;
}

static bool read_outline(thaw_piece_reader *from, const yaml_node_t *node, const char *where, thaw_polygon *out)
{
    yaml_node_t *items[MOST_CORNERS];
    double at[MOST_CORNERS][2];
    const int before = thaw_faults_count(from->reader->faults);
    const int n = thaw_reader_list(from->reader, node, where, MOST_CORNERS, items);
    if (n < 3) {
        thaw_faults_add(from->reader->faults, thaw_reader_place(node), "for example `[[0, 0], [30, 0], [30, 45], [0, 45]]`",
                        "%s: a list of three corners or more is wanted here", where);
        return false;
    }
    for (int i = 0; i < n; i++) {
        if (read_pair(from, items[i], where, at[i])) {
            at[i][0] *= from->unit_m;
            at[i][1] *= from->unit_m;
        }
    }
    if (thaw_faults_count(from->reader->faults) > before) {
        return false;
    }
    const bool repeats = n > 3 && at[0][0] == at[n - 1][0] && at[0][1] == at[n - 1][1];
    from->starved = thaw_polygon_copy((const double(*)[2])at, n - repeats, out, NULL) != THAW_OK || from->starved;
    return !from->starved;
}

static bool read_rectangle(thaw_piece_reader *from, const yaml_node_t *node, const char *where, thaw_polygon *out)
{
    double size[2];
    if (!read_pair(from, node, where, size)) {
        return false;
    }
    if (!(size[0] > 0.0 && size[1] > 0.0)) {
        thaw_faults_add(from->reader->faults, thaw_reader_place(node), "write width and length, for example `[30, 45]`",
                        "%s: a side is not above 0", where);
        return false;
    }
    const double w = size[0] * from->unit_m, h = size[1] * from->unit_m;
    const double at[4][2] = {{0.0, 0.0}, {w, 0.0}, {w, h}, {0.0, h}};
    from->starved = thaw_polygon_copy(at, 4, out, NULL) != THAW_OK || from->starved;
    return !from->starved;
}

static bool take_shape(thaw_piece_reader *from, const yaml_node_t *node, thaw_place place, const char *name, const char *where,
                       thaw_polygon *out)
{
    const char *names[THAW_MAX_DRAWN];
    const char *wanted = node ? thaw_reader_text(from->reader, node, where) : name;
    for (int i = 0; wanted && i < from->drawing->n; i++) {
        const thaw_drawn *shape = &from->drawing->shapes[i];
        names[i] = shape->name;
        if (thaw_words_same(shape->name, wanted)) {
            from->starved = thaw_polygon_copy((const double(*)[2])shape->outline.at, shape->outline.n, out, NULL) != THAW_OK ||
                            from->starved;
            return !from->starved;
        }
    }
    if (wanted) {
        thaw_reader_unknown(from->reader, place, where, wanted, names, from->drawing->n);
    }
    return false;
}

static bool read_drawn(thaw_piece_reader *from, yaml_node_t *const *values, thaw_place whole, const thaw_pattern_piece *piece,
                       thaw_polygon *out)
{
    char where[80];
    const int n = (values[OUTLINE] != NULL) + (values[RECTANGLE] != NULL) + (values[SHAPE] != NULL);
    if (n > 1) {
        thaw_faults_add(from->reader->faults, whole, "keep one of outline, rectangle and shape", "%s is drawn more than once",
                        piece->name);
        return false;
    }
    const int key = values[OUTLINE] ? OUTLINE : values[RECTANGLE] ? RECTANGLE : SHAPE;
    snprintf(where, sizeof where, "%s.%s", piece->name, KEYS[key]);
    if (key == OUTLINE) {
        return read_outline(from, values[OUTLINE], where, out);
    }
    if (key == RECTANGLE) {
        return read_rectangle(from, values[RECTANGLE], where, out);
    }
    if (from->drawing) {
        return take_shape(from, values[SHAPE], values[SHAPE] ? thaw_reader_place(values[SHAPE]) : whole, piece->name, where, out);
    }
    if (values[SHAPE]) {
        thaw_faults_add(from->reader->faults, thaw_reader_place(values[SHAPE]), "name the SVG file under `drawing`, at the top",
                        "%s: there is no drawing to take it from", where);
    } else {
        snprintf(where, sizeof where, "%.40s.outline", piece->name);
        thaw_reader_missing(from->reader, whole, where, "outline: [[0, 0], [30, 0], [30, 45], [0, 45]]");
    }
    return false;
}

/* ---- how it is cut ---- */

static bool read_grain(const thaw_reader *reader, const yaml_node_t *node, const char *where, double *rad)
{
    static const struct {
        const char *word;
        double degrees;
    } words[] = {{"lengthwise", 0.0}, {"crosswise", 90.0}, {"bias", 45.0}};
    const char *text = node && node->type == YAML_SCALAR_NODE ? (const char *)node->data.scalar.value : NULL;
    const char *known[3];
    double degrees = 0.0;
    if (!node) {
        return true;
    }
    for (int i = 0; i < 3; i++) {
        known[i] = words[i].word;
        if (text && thaw_words_same(text, words[i].word)) {
            *rad = words[i].degrees * RADIAN;
            return true;
        }
    }
    if (text && !(*text >= '0' && *text <= '9') && *text != '-' && *text != '.' && *text) {
        thaw_reader_unknown(reader, thaw_reader_place(node), where, text, known, 3);
        return false;
    }
    const thaw_rule rule = {where, THAW_ANGLE, -180.0, 180.0, false,
                            "lengthwise, crosswise, bias, or degrees clockwise from upright, -180 deg to 180 deg"};
    if (!thaw_reader_quantity(reader, node, &rule, &degrees)) {
        return false;
    }
    *rad = degrees * RADIAN;
    return true;
}

static void add_wish(const thaw_reader *reader, const yaml_node_t *node, const char *where, thaw_pattern_piece *out)
{
    const char *words[MOST_WORDS];
    const char *text = thaw_reader_text(reader, node, where);
    thaw_wish wish;
    if (text && !thaw_wish_read(text, &wish)) {
        thaw_reader_unknown(reader, thaw_reader_place(node), where, text, words, thaw_wish_words(words, MOST_WORDS));
    } else if (text) {
        for (int w = 0; w < out->n_wishes; w++) {
            if (out->wishes[w].kind == wish.kind) {
                thaw_faults_add(reader->faults, thaw_reader_place(node), "keep one of the two", "%s: `%s` and `%s` at once", where,
                                out->wishes[w].text, wish.text);
                return;
            }
        }
        out->wishes[out->n_wishes++] = wish;
    }
}

static void read_wishes(const thaw_reader *reader, const yaml_node_t *node, const char *where, thaw_pattern_piece *out)
{
    yaml_node_t *items[THAW_MAX_WISHES];
    const int n = thaw_reader_list(reader, node, where, THAW_MAX_WISHES, items);
    if (n < 0) {
        add_wish(reader, node, where, out);
    }
    for (int i = 0; i < n; i++) {
        add_wish(reader, items[i], where, out);
    }
}

static void read_number(const thaw_reader *reader, yaml_node_t *const *values, thaw_pattern_piece *out)
{
    char where[80];
    uint64_t n = 1;
    snprintf(where, sizeof where, "%s.cut", out->name);
    if (values[CUT] && thaw_reader_whole(reader, values[CUT], where, 1, THAW_MAX_CUTS, &n)) {
        out->n_cut = (int)n;
    }
    snprintf(where, sizeof where, "%s.mirrored", out->name);
    out->is_mirrored = read_yes(reader, values[MIRRORED], where, false);
    if (out->is_mirrored && out->n_cut % 2 == 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[MIRRORED]), "write `cut: 2` for a left and a right one",
                        "%s: of %d there are no pairs", where, out->n_cut);
    }
}

bool thaw_piece_read(thaw_piece_reader *from, const yaml_node_t *node, int number, thaw_pattern_piece *out)
{
    static const char *const sides[] = {"no", "left", "right", "top", "bottom"};
    const thaw_reader *reader = from->reader;
    yaml_node_t *values[N_KEYS];
    char where[80], why[200];
    thaw_draft draft = {.allowance_m = from->allowance_m};
    const int before = thaw_faults_count(reader->faults);
    snprintf(where, sizeof where, "pieces.%d", number);
    if (!thaw_reader_map(reader, node, where, KEYS, N_KEYS, values)) {
        return false;
    }
    const thaw_place whole = thaw_reader_place(node);
    *out = (thaw_pattern_piece){.n_cut = 1, .may_turn = true, .importance = 1.0};
    snprintf(out->name, sizeof out->name, "piece %d", number);
    read_name(reader, values[PIECE], whole, out->name);
    const bool is_drawn = read_drawn(from, values, whole, out, &draft.outline);
    read_number(reader, values, out);
    snprintf(where, sizeof where, "%s.grain", out->name);
    read_grain(reader, values[GRAIN], where, &draft.grain_rad);
    snprintf(where, sizeof where, "%s.on-fold", out->name);
    const int side = thaw_reader_word(reader, values[ON_FOLD], where, sides, 5); /* which side has to be said */
    draft.fold = side > 0 ? (thaw_fold_side)side : THAW_FOLD_NONE;
    snprintf(where, sizeof where, "%s.seam-allowance", out->name);
    const thaw_rule allowance = {where, THAW_LENGTH, 0.0, 0.1, false, "0 cm to 10 cm"};
    thaw_reader_quantity(reader, values[ALLOWANCE], &allowance, &draft.allowance_m);
    snprintf(where, sizeof where, "%s.turn", out->name);
    out->may_turn = read_yes(reader, values[TURN], where, true);
    snprintf(where, sizeof where, "%s.wish", out->name);
    if (values[WISH]) {
        read_wishes(reader, values[WISH], where, out);
    }
    snprintf(where, sizeof where, "%s.importance", out->name);
    if (values[IMPORTANCE]) {
        thaw_own_number(reader, values[IMPORTANCE], where, 0.01, MOST_IMPORTANCE, "0.01 to 100, 1 is usual", &out->importance);
    }
    if (is_drawn && !thaw_draft_cut(&draft, out, &from->starved, why, sizeof why)) {
        const yaml_node_t *at = values[OUTLINE] ? values[OUTLINE] : values[RECTANGLE] ? values[RECTANGLE] : node;
        thaw_faults_add(reader->faults, thaw_reader_place(at), NULL, "%s: %s", out->name, why);
    }
    thaw_polygon_release(&draft.outline);
    return thaw_faults_count(reader->faults) == before && !from->starved;
}
