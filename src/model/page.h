/* A page of the project notebook as plain data: filled by api/, written by output/page.c. Whoever fills it owns all
 * that it points to. Text may hold anything: the writer makes it harmless. */
#ifndef THAW_MODEL_PAGE_H
#define THAW_MODEL_PAGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "thawprint/preview.h"
#include "thawprint/record.h"

typedef enum thaw_page_slot {
    THAW_PAGE_DRY,
    THAW_PAGE_WET,
    THAW_PAGE_BUNDLE,
    THAW_PAGE_FOLD,
    THAW_PAGE_TYPICAL,
    THAW_PAGE_OTHERS,
    THAW_PAGE_WHITE,
    THAW_PAGE_COLOURS,
    THAW_PAGE_PHOTO,
    THAW_PAGE_BORDER,
    THAW_PAGE_LAY,
    THAW_PAGE_SLOTS
} thaw_page_slot;

/* A WebP file; no bytes: the page goes without. */
typedef struct thaw_page_picture {
    unsigned char *bytes;          /* own */
    size_t n;
    int width, height;             /* pixels */
} thaw_page_picture;

#define THAW_PAGE_MOST_FRAMES 48

typedef struct thaw_page_frame {
    thaw_page_picture picture;     /* two squares: the bundle under its ice, the cloth unfolded */
    double time_s;
    double ice_kg;                 /* that lies on the bundle */
    double wet_share;              /* share of the pores of the whole cloth that holds water */
} thaw_page_frame;

#define THAW_TABLE_COLUMNS 4
#define THAW_TABLE_ROWS 96
#define THAW_TABLE_CELL 192

/* A table of text: materials, timetable. The first column heads its row. */
typedef struct thaw_page_table {
    const char *caption;
    const char *note;              /* a line under it; NULL: none */
    int n_columns, n_rows;
    const char *heads[THAW_TABLE_COLUMNS];
    char cells[THAW_TABLE_ROWS][THAW_TABLE_COLUMNS][THAW_TABLE_CELL];
} thaw_page_table;

/* A file that goes into the page, so that the run can be repeated from it. */
typedef struct thaw_page_file {
    const char *name;
    const char *bytes;
    size_t n;
} thaw_page_file;

#define THAW_PAGE_MOST_FILES 20

typedef struct thaw_page_point {
    double time_h, ice_kg;
} thaw_page_point;

typedef struct thaw_page {
    const char *title, *date;      /* date: as it is printed; empty: a line to write it on */
    const char *digest, *version, *seed, *detail;
    const char *cloth;             /* "cotton twill, 120 x 100 cm" */
    const char *bath;              /* what the cloth was soaked in */
    const thaw_preview_figures *figures;
    thaw_page_picture pictures[THAW_PAGE_SLOTS];
    int n_frames;
    thaw_page_frame frames[THAW_PAGE_MOST_FRAMES];
    int n_points;                  /* of the curve of ice */
    const thaw_page_point *points;
    int n_chances;                 /* that came through; 0: the page tells of one run */
    bool has_ranges;
    const thaw_page_table *materials, *timetable;
    const thaw_facts *record; /* NULL: none */
    int n_files;
    thaw_page_file files[THAW_PAGE_MOST_FILES]; /* the resolved scenario first */
} thaw_page;

#endif
