#include "scenario/pattern_file.h"

#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/words.h"
#include "scenario/document.h"
#include "scenario/pattern_piece.h"

#define LARGEST_YAML ((size_t)1 << 20)

/* What reading the root of a pattern needs. */
typedef struct root_work {
    const char *path;
    thaw_pattern_sheet *sheet;
    thaw_drawing *drawing;         /* own; filled in where the file names one */
    bool starved;
} root_work;

void thaw_pattern_release(thaw_pattern_sheet *sheet)
{
    for (int i = 0; i < sheet->n; i++) {
        thaw_polygon_release(&sheet->pieces[i].outline);
        thaw_polygon_release(&sheet->pieces[i].seam);
    }
    sheet->n = 0;
}

/* The file's name without folder and ending. */
static void title_from_path(const char *path, char *out, size_t size)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path, *dot = strrchr(name, '.');
    snprintf(out, size, "%.*s", dot && dot > name ? (int)(dot - name) : (int)strlen(name), name);
}

/* Ends a text at a whole character. */
static void copy_title(const char *from, char *out, size_t size)
{
    snprintf(out, size, "%s", from);
    size_t n = strlen(out);
    if (from[n] != '\0') {
        while (n > 0 && ((unsigned char)out[n - 1] & 0xC0u) == 0x80u) {
            n--;
        }
        n -= n > 0 && (unsigned char)out[n - 1] >= 0xC0u;
        out[n] = '\0';
    }
}

/* ---- a drawing that a pattern names ---- */

static char *path_beside(const char *path, const char *name)
{
    const char *slash = name[0] == '/' ? NULL : strrchr(path, '/');
    const size_t folder = slash ? (size_t)(slash - path) + 1 : 0, size = folder + strlen(name) + 1;
    char *out = thaw_allocate(size, 1, NULL);
    if (out) {
        snprintf(out, size, "%.*s%s", (int)folder, path, name);
    }
    return out;
}

/* Faults of the drawing are told at the place where it is named, each with its own line in the drawing. */
static void read_drawing_text(const thaw_reader *reader, const yaml_node_t *node, const char *name, const char *text, size_t n,
                              root_work *work)
{
    thaw_faults *faults = NULL;
    thaw_error own = {0};
    if (thaw_faults_create(name, text, n, &faults, NULL) != THAW_OK ||
        thaw_svg_read(text, n, faults, work->drawing, NULL) != THAW_OK) {
        work->starved = true;
    } else if (thaw_faults_report(faults, &own) != THAW_OK) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "see what the file itself says with `--pattern` and its name",
                        "drawing: %.*s", (int)strcspn(own.text, "\n"), own.text);
    } else if (work->drawing->n == 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "pieces are closed paths, polygons, rectangles or circles",
                        "drawing: `%.60s` has no closed shape of 1 square cm or more", name);
    }
    thaw_faults_destroy(faults);
}

static void read_drawing(const thaw_reader *reader, const yaml_node_t *node, root_work *work)
{
    const char *name = node ? thaw_reader_text(reader, node, "drawing") : NULL;
    char *path = name ? path_beside(work->path, name) : NULL, *text = NULL;
    size_t n = 0;
    bool whole = false;
    thaw_error why = {0};
    work->starved = work->starved || (name && !path);
    if (!path) {
        return;
    }
    if (thaw_file_look(path) == THAW_FILE_MISSING || thaw_file_look(path) == THAW_FILE_FOLDER) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "the path starts from the folder of the pattern",
                        "drawing: there is no file `%.200s`", path);
    } else if (thaw_file_read(path, THAW_LARGEST_DRAWING, &text, &n, &whole, &why) != THAW_OK) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), NULL, "drawing: %.200s", why.text);
    } else if (!whole) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), NULL, "drawing: `%.200s` is larger than 16 MiB", path);
    } else {
        read_drawing_text(reader, node, name, text, n, work);
    }
    thaw_release(text);
    thaw_release(path);
}

/* ---- the file ---- */

static void check_name(const thaw_reader *reader, const yaml_node_t *node, const thaw_pattern_sheet *sheet,
                       const thaw_pattern_piece *piece)
{
    for (int i = 0; i < sheet->n; i++) {
        if (thaw_words_same(sheet->pieces[i].name, piece->name)) {
            thaw_faults_add(reader->faults, thaw_reader_place(node), "give each piece a name of its own",
                            "piece: `%s` is given twice", piece->name);
            return;
        }
    }
}

static void read_pieces(const thaw_reader *reader, const yaml_node_t *node, thaw_piece_reader *from, thaw_pattern_sheet *sheet)
{
    yaml_node_t *items[THAW_MAX_PIECES];
    int n_cut = 0;
    const int n = thaw_reader_list(reader, node, "pieces", THAW_MAX_PIECES, items);
    if (n < 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "begin each piece with `- piece: NAME`",
                        "pieces: a list of pieces is wanted here");
    }
    for (int i = 0; i < n; i++) {
        thaw_pattern_piece piece = {.n_cut = 0};
        thaw_piece_read(from, items[i], i + 1, &piece);
        if (piece.n_cut > 0) {
            check_name(reader, items[i], sheet, &piece);
            n_cut += piece.n_cut;
            sheet->pieces[sheet->n++] = piece;
        }
    }
    if (n_cut > THAW_MAX_CUTS) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "lay a part of them at a time",
                        "pieces: %d are to be cut, at most %d", n_cut, THAW_MAX_CUTS);
    }
}

static void read_root(const thaw_reader *reader, const yaml_node_t *root, void *user)
{
    enum { TITLE, UNIT, DRAWING, ALLOWANCE, ONE_WAY, GAP, PIECES, N };
    static const char *const keys[N] = {"title", "unit", "drawing", "seam-allowance", "one-way", "gap", "pieces"};
    static const char *const units[] = {"cm", "mm", "in"}, *const words[] = {"no", "yes", "false", "true"};
    static const double unit_m[] = {0.01, 0.001, 0.0254};
    const thaw_rule allowance = {"seam-allowance", THAW_LENGTH, 0.0, 0.1, false, "0 cm to 10 cm"};
    const thaw_rule gap = {"gap", THAW_LENGTH, 0.0, 0.1, false, "0 cm to 10 cm"};
    root_work *work = user;
    yaml_node_t *values[N];
    if (!thaw_reader_map(reader, root, "", keys, N, values)) {
        return;
    }
    const char *title = values[TITLE] ? thaw_reader_text(reader, values[TITLE], "title") : NULL;
    if (title) {
        copy_title(title, work->sheet->title, sizeof work->sheet->title);
    }
    const int unit = thaw_reader_word(reader, values[UNIT], "unit", units, 3);
    read_drawing(reader, values[DRAWING], work);
    thaw_piece_reader from = {.reader = reader, .drawing = values[DRAWING] && work->drawing->n ? work->drawing : NULL,
                              .unit_m = unit_m[unit < 0 ? 0 : unit]};
    thaw_reader_quantity(reader, values[ALLOWANCE], &allowance, &from.allowance_m);
    work->sheet->one_way = thaw_reader_word(reader, values[ONE_WAY], "one-way", words, 4) % 2 == 1;
    thaw_reader_quantity(reader, values[GAP], &gap, &work->sheet->gap_m);
    if (!values[PIECES]) {
        thaw_reader_missing(reader, thaw_reader_place(root), "pieces", "pieces: [{ piece: sleeve, rectangle: [30, 45] }]");
    } else if (!(values[DRAWING] && !from.drawing)) { /* without its drawing every shape would be a fault */
        read_pieces(reader, values[PIECES], &from, work->sheet);
    }
    work->starved = work->starved || from.starved;
}

/* Every closed shape is a piece. */
static void take_all(const thaw_drawing *drawing, thaw_faults *faults, thaw_pattern_sheet *sheet, bool *starved)
{
    char why[200];
    if (drawing->n == 0) {
        thaw_faults_add(faults, (thaw_place){0, 0}, "pieces are closed paths, polygons, rectangles or circles",
                        "the drawing has no closed shape of 1 square cm or more");
    }
    for (int i = 0; i < drawing->n; i++) {
        const thaw_drawn *shape = &drawing->shapes[i];
        const thaw_draft draft = {.outline = shape->outline};
        thaw_pattern_piece piece = {.n_cut = 1, .may_turn = true, .importance = 1.0};
        if (sheet->n == THAW_MAX_PIECES) {
            thaw_faults_add(faults, (thaw_place){shape->line, 1}, "name those wanted in a YAML pattern with `drawing`",
                            "more than %d shapes", THAW_MAX_PIECES);
            return;
        }
        snprintf(piece.name, sizeof piece.name, "%s", shape->name);
        if (thaw_draft_cut(&draft, &piece, starved, why, sizeof why)) {
            sheet->pieces[sheet->n++] = piece;
        } else {
            thaw_faults_add(faults, (thaw_place){shape->line, 1}, NULL, "%s: %s", shape->name, why);
        }
    }
}

static bool is_markup(const char *text, size_t n)
{
    size_t at = n >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    while (at < n && strchr(" \t\r\n", text[at]) && text[at]) {
        at++;
    }
    return at < n && text[at] == '<';
}

static bool is_blank(const char *text, size_t n)
{
    size_t at = 0;
    while (at < n && text[at] && strchr(" \t\r\n", text[at])) {
        at++;
    }
    return at == n;
}

static thaw_status read_text(const char *text, size_t n, root_work *work, thaw_faults *faults, thaw_error *err)
{
    thaw_units *units = NULL;
    thaw_status status = THAW_OK;
    if (is_blank(text, n)) {
        thaw_faults_add(faults, (thaw_place){0, 0}, "a pattern is a YAML file with `pieces`, or an SVG drawing", "the file is empty");
        return thaw_faults_report(faults, err);
    }
    if (!is_markup(text, n) && n > LARGEST_YAML) {
        thaw_faults_add(faults, (thaw_place){0, 0}, NULL, "larger than 1 MiB, no pattern in YAML is");
        return thaw_faults_report(faults, err);
    }
    if (!is_markup(text, n)) {
        status = thaw_units_create(&units, err);
        if (status == THAW_OK) {
            status = thaw_document_read(text, n, units, read_root, work, faults, err);
        }
        thaw_units_destroy(units);
        return status;
    }
    status = thaw_svg_read(text, n, faults, work->drawing, err);
    if (status == THAW_OK && thaw_faults_count(faults) == 0) {
        take_all(work->drawing, faults, work->sheet, &work->starved);
    }
    return status == THAW_OK ? thaw_faults_report(faults, err) : status;
}

thaw_status thaw_pattern_parse(const char *text, size_t n, const char *path, thaw_pattern_sheet *out, thaw_error *err)
{
    thaw_faults *faults = NULL;
    thaw_error own = {0};
    root_work work = {.path = path, .sheet = out, .drawing = thaw_allocate(1, sizeof *work.drawing, err)};
    thaw_status status = work.drawing ? thaw_faults_create(path, text, n, &faults, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        title_from_path(path, out->title, sizeof out->title);
        status = read_text(text, n, &work, faults, &own);
        if (work.starved) { /* which may have made faults of its own */
            status = thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to read the pattern");
        } else if (status != THAW_OK) {
            thaw_fail(err, status, "%s", own.text);
        }
    }
    thaw_faults_destroy(faults);
    if (work.drawing) {
        thaw_drawing_release(work.drawing);
    }
    thaw_release(work.drawing);
    return status;
}
