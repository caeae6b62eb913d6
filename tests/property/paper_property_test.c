/* Pages to print are true to size: squares are measured on pages that poppler drew, in pixels of a tenth of a millimetre. */
#define _POSIX_C_SOURCE 200809L

#include "check.h"

#include <stdlib.h>
#include <unistd.h>

#include "base/alloc.h"
#include "output/lay_pdf.h"

#define PER_MM 10.0                /* pixels: 254 to the inch */
#define TRUE_MM 0.5                /* what is promised; the drawing itself is nearer */
#define DARK   128

typedef struct page {
    int width, height;
    unsigned char *grey;           /* own */
} page;

static page read_page(const char *path)
{
    page p = {0};
    int most = 0;
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fscanf(file, "P5 %d %d %d", &p.width, &p.height, &most), 3);
    assert_int_equal(most, 255);
    fgetc(file);
    p.grey = malloc((size_t)p.width * (size_t)p.height);
    assert_int_equal(fread(p.grey, 1, (size_t)p.width * (size_t)p.height, file), (size_t)p.width * (size_t)p.height);
    fclose(file);
    return p;
}

static bool is_dark(const page *p, double x_mm, double y_mm)
{
    const int i = (int)(x_mm * PER_MM), j = (int)(y_mm * PER_MM);
    return i >= 0 && j >= 0 && i < p->width && j < p->height && p->grey[j * p->width + i] < DARK;
}

/* Middle of the first dark run on the way from (x, y) by (dx, dy), mm from there; -1 within `most` mm of none. */
static double find_line(const page *p, double x, double y, double dx, double dy, double most)
{
    const double step = 0.5 / PER_MM;
    double first = -1.0;
    for (double t = 0.0; t < most; t += step) {
        const bool dark = is_dark(p, x + t * dx, y + t * dy);
        if (dark && first < 0.0) {
            first = t;
        } else if (!dark && first >= 0.0) {
            return 0.5 * (first + t - step);
        }
    }
    return -1.0;
}

typedef struct printed {
    char dir[64];
    int n_pages;
} printed;

static printed print_lay(const thaw_lay_sheet *sheet, thaw_paper paper)
{
    printed out = {.dir = "/tmp/thaw-paper-XXXXXX"};
    char path[128], command[512];
    unsigned char *bytes = NULL;
    size_t n = 0;
    thaw_error err = {0};
    assert_non_null(mkdtemp(out.dir));
    assert_int_equal(thaw_lay_pdf(sheet, paper, &bytes, &n, &out.n_pages, &err), THAW_OK);
    snprintf(path, sizeof path, "%s/lay.pdf", out.dir);
    FILE *file = fopen(path, "wb");
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    fclose(file);
    thaw_release(bytes);
    snprintf(command, sizeof command, "pdftoppm -gray -r 254 %s %s/p", path, out.dir);
    assert_int_equal(system(command), 0);
    return out;
}

static page page_of(const printed *p, int number)
{
    char path[128];
    snprintf(path, sizeof path, p->n_pages < 10 ? "%s/p-%d.pgm" : "%s/p-%02d.pgm", p->dir, number);
    return read_page(path);
}

static void clear(const printed *p)
{
    char command[128];
    snprintf(command, sizeof command, "rm -r %s", p->dir);
    assert_int_equal(system(command), 0);
}

/* Words of pdfinfo. */
static void check_info(const printed *p, thaw_paper paper)
{
    char command[160], line[200];
    double width = 0.0, height = 0.0;
    int pages = 0;
    snprintf(command, sizeof command, "pdfinfo %s/lay.pdf", p->dir);
    FILE *pipe = popen(command, "r");
    while (fgets(line, sizeof line, pipe)) {
        sscanf(line, "Pages: %d", &pages);
        sscanf(line, "Page size: %lf x %lf pts", &width, &height);
    }
    assert_int_equal(pclose(pipe), 0);
    assert_int_equal(pages, p->n_pages);
    assert_close(width * 25.4 / 72.0, paper == THAW_PAPER_A4 ? 210.0 : 215.9, 0.05);
    assert_close(height * 25.4 / 72.0, paper == THAW_PAPER_A4 ? 297.0 : 279.4, 0.05);
}

/* A 10 cm square at (x, y) cm of a cloth of 50 x 70 cm. */
static thaw_lay_sheet square_at(double x_m, double y_m, double side_m, double corners[4][2], thaw_cut_out *piece)
{
    const double at[4][2] = {{x_m, y_m}, {x_m + side_m, y_m}, {x_m + side_m, y_m + side_m}, {x_m, y_m + side_m}};
    memcpy(corners, at, sizeof at);
    *piece = (thaw_cut_out){.name = "square", .remark = "", .wishes = "", .down = {0.0, 1.0}, .outline = {4, corners}};
    return (thaw_lay_sheet){.title = "A square", .note = "to measure", .width_m = 0.5, .length_m = 0.7, .n = 1, .pieces = piece};
}

static void the_square_on_the_first_page_is_ten_centimetres(void **state)
{
    (void)state;
    for (int paper = 0; paper < THAW_PAPERS; paper++) {
        double corners[4][2];
        thaw_cut_out piece;
        const thaw_lay_sheet sheet = square_at(0.03, 0.04, 0.1, corners, &piece);
        const thaw_page_layout l = thaw_page_layout_of((thaw_paper)paper);
        const printed out = print_lay(&sheet, (thaw_paper)paper);
        check_info(&out, (thaw_paper)paper);
        const page p = page_of(&out, 1);
        for (int k = 1; k < 4; k++) { /* away from the words in its middle */
            const double y = l.square_top + 20.0 * k + (k > 1 ? 20.0 : 0.0), x = l.square_left + 25.0 * k;
            const double left = l.square_left - 3.0 + find_line(&p, l.square_left - 3.0, y, 1.0, 0.0, 6.0);
            const double right = l.square_left + 97.0 + find_line(&p, l.square_left + 97.0, y, 1.0, 0.0, 6.0);
            const double top = l.square_top - 3.0 + find_line(&p, x, l.square_top - 3.0, 0.0, 1.0, 6.0);
            const double bottom = l.square_top + 97.0 + find_line(&p, x, l.square_top + 97.0, 0.0, 1.0, 6.0);
            assert_close(right - left, 100.0, 0.2);
            assert_close(bottom - top, 100.0, 0.2);
        }
        free(p.grey);
        clear(&out);
    }
}

/* On one page; and across four, where the parts are put together by the lines that the reader glues along. */
static void a_piece_comes_out_at_its_size(void **state)
{
    (void)state;
    for (int paper = 0; paper < THAW_PAPERS; paper++) {
        double corners[4][2];
        thaw_cut_out piece;
        const thaw_page_layout l = thaw_page_layout_of((thaw_paper)paper);
        thaw_lay_sheet sheet = square_at(0.03, 0.04, 0.1, corners, &piece);
        printed out = print_lay(&sheet, (thaw_paper)paper);
        assert_int_equal(out.n_pages, 2);
        page p = page_of(&out, 2);
        const double x0 = l.left + 30.0, y0 = l.top + 40.0;
        const double left = x0 - 5.0 + find_line(&p, x0 - 5.0, y0 + 20.0, 1.0, 0.0, 10.0);
        const double right = x0 + 95.0 + find_line(&p, x0 + 95.0, y0 + 20.0, 1.0, 0.0, 10.0);
        const double top = y0 - 5.0 + find_line(&p, x0 + 20.0, y0 - 5.0, 0.0, 1.0, 10.0);
        const double bottom = y0 + 95.0 + find_line(&p, x0 + 20.0, y0 + 95.0, 0.0, 1.0, 10.0);
        assert_close(right - left, 100.0, TRUE_MM);
        assert_close(bottom - top, 100.0, TRUE_MM);
        assert_close(right - left, 100.0, 0.2);
        free(p.grey);
        clear(&out);
        /* 30 cm from (10, 15) cm: its left side lies on page row 1, column 1, its right side in column 3. */
        sheet = square_at(0.10, 0.15, 0.30, corners, &piece);
        out = print_lay(&sheet, (thaw_paper)paper);
        const int first = 2, third = 4; /* a row of three pages */
        page a = page_of(&out, first), b = page_of(&out, third);
        const double y = l.top + 200.0;
        /* Both measured from the line at the left of their page, where the page left of it ends. */
        const double line_a = l.left - 3.0 + find_line(&a, l.left - 3.0, y, 1.0, 0.0, 6.0);
        const double line_b = l.left - 3.0 + find_line(&b, l.left - 3.0, y, 1.0, 0.0, 6.0);
        const double side_a = l.left + 95.0 + find_line(&a, l.left + 95.0, y, 1.0, 0.0, 10.0) - line_a;
        const double wanted_b = 400.0 - 2.0 * l.pitch_x;
        const double side_b = l.left + wanted_b - 5.0 + find_line(&b, l.left + wanted_b - 5.0, y, 1.0, 0.0, 10.0) - line_b;
        assert_close(2.0 * l.pitch_x + side_b - side_a, 300.0, TRUE_MM);
        /* The broken line, where the next page is glued on, is one pitch from the whole line. */
        const double glue = l.left + l.pitch_x;
        double broken = -1.0;
        for (double at = y; broken < 0.0 && at < y + 4.0; at += 0.5) {
            broken = find_line(&a, glue - 2.0, at, 1.0, 0.0, 4.0);
        }
        assert_close(glue - 2.0 + broken - line_a, l.pitch_x, 0.2);
        free(a.grey);
        free(b.grey);
        clear(&out);
    }
}

static void pages_that_no_piece_touches_are_left_out(void **state)
{
    (void)state;
    double corners[4][2];
    thaw_cut_out piece;
    unsigned char *bytes = NULL, *again = NULL;
    size_t n = 0, n_again = 0;
    int pages = 0;
    thaw_error err = {0};
    const thaw_page_layout l = thaw_page_layout_of(THAW_PAPER_A4);
    thaw_lay_sheet sheet = square_at(l.pitch_x * 1e-3 - 0.05, 0.01, 0.1, corners, &piece);
    assert_int_equal(thaw_lay_pdf(&sheet, THAW_PAPER_A4, &bytes, &n, &pages, &err), THAW_OK);
    assert_int_equal(pages, 3);
    assert_int_equal(thaw_lay_pdf(&sheet, THAW_PAPER_A4, &again, &n_again, &pages, &err), THAW_OK);
    assert_true(n == n_again && memcmp(bytes, again, n) == 0); /* the same bytes */
    thaw_release(again);
    thaw_release(bytes);
    bytes = NULL;
    sheet = square_at(l.pitch_x * 1e-3 - 0.1, 0.01, 0.1, corners, &piece); /* ends at the join */
    assert_int_equal(thaw_lay_pdf(&sheet, THAW_PAPER_A4, &bytes, &n, &pages, &err), THAW_OK);
    assert_int_equal(pages, 2);
    thaw_release(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_square_on_the_first_page_is_ten_centimetres),
        cmocka_unit_test(a_piece_comes_out_at_its_size),
        cmocka_unit_test(pages_that_no_piece_touches_are_left_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
