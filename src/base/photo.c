#include "base/photo.h"

#include <setjmp.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include <jpeglib.h>

#include "base/alloc.h"
#include "base/error.h"

#define EXIF_MARKER (JPEG_APP0 + 1)
#define ORIENTATION 0x0112u

/* libjpeg's own errors come back by longjmp. */
typedef struct trap {
    struct jpeg_error_mgr manager; /* first: libjpeg hands out a pointer to it */
    jmp_buf back;
    char why[JMSG_LENGTH_MAX];
} trap;

static void give_up(j_common_ptr info)
{
    trap *t = (trap *)info->err;
    info->err->format_message(info, t->why);
    longjmp(t->back, 1);
}

static void stay_silent(j_common_ptr info, int level)
{
    trap *t = (trap *)info->err;
    if (level < 0 && t->manager.num_warnings++ == 0) { /* data that do not fit: cut short, or bits flipped */
        info->err->format_message(info, t->why);
    }
}

static unsigned word_at(const unsigned char *at, bool big, int n)
{
    unsigned value = 0;
    for (int i = 0; i < n; i++) {
        value = value << 8 | at[big ? i : n - 1 - i];
    }
    return value;
}

/* 1 .. 8 as Exif has it; 1 where nothing or nonsense is said. */
static int orientation_of(const struct jpeg_decompress_struct *jpeg)
{
    for (jpeg_saved_marker_ptr m = jpeg->marker_list; m; m = m->next) {
        const unsigned char *data = m->data;
        const size_t n = m->data_length;
        if (m->marker != EXIF_MARKER || n < 22 || memcmp(data, "Exif\0", 6) != 0) {
            continue;
        }
        const unsigned char *tiff = data + 6;
        const size_t room = n - 6;
        const bool big = tiff[0] == 'M';
        const size_t at = word_at(tiff + 4, big, 4);
        if (at + 2 > room || at < 8) {
            return 1;
        }
        const size_t entries = word_at(tiff + at, big, 2);
        for (size_t i = 0; i < entries && at + 2 + 12 * (i + 1) <= room; i++) {
            const unsigned char *entry = tiff + at + 2 + 12 * i;
            if (word_at(entry, big, 2) == ORIENTATION) {
                const unsigned value = word_at(entry + 8, big, 2);
                return value >= 1 && value <= 8 ? (int)value : 1;
            }
        }
    }
    return 1;
}

/* Where a pixel of the stored picture (width w, height h) lies in the upright one. */
static size_t upright_place(int orientation, size_t x, size_t y, size_t w, size_t h)
{
    switch (orientation) {
    case 2:
        return y * w + (w - 1 - x);
    case 3:
        return (h - 1 - y) * w + (w - 1 - x);
    case 4:
        return (h - 1 - y) * w + x;
    case 5:
        return x * h + y;
    case 6:
        return x * h + (h - 1 - y);
    case 7:
        return (w - 1 - x) * h + (h - 1 - y);
    case 8:
        return (w - 1 - x) * h + y;
    default:
        return y * w + x;
    }
}

/* What must survive a longjmp lives behind this, not in registers. */
typedef struct reading {
    struct jpeg_decompress_struct jpeg;
    trap errors;
    unsigned char *row;            /* own */
    uint8_t *rgba;                 /* own */
    int orientation;
} reading;

static thaw_status read_rows(reading *r, thaw_error *err)
{
    const size_t w = r->jpeg.output_width, h = r->jpeg.output_height;
    r->row = thaw_allocate(w, 3, err);
    r->rgba = r->row ? thaw_allocate(w * h, 4, err) : NULL;
    if (!r->rgba) {
        return THAW_ERR_MEMORY;
    }
    for (size_t y = 0; y < h; y++) {
        JSAMPROW rows[1] = {r->row};
        jpeg_read_scanlines(&r->jpeg, rows, 1);
        for (size_t x = 0; x < w; x++) {
            uint8_t *out = r->rgba + 4 * upright_place(r->orientation, x, y, w, h);
            memcpy(out, r->row + 3 * x, 3);
            out[3] = 255;
        }
    }
    return THAW_OK;
}

static thaw_status read_jpeg(reading *r, const void *bytes, size_t n, thaw_error *err)
{
    jpeg_create_decompress(&r->jpeg);
    jpeg_save_markers(&r->jpeg, EXIF_MARKER, 0xFFFF);
    jpeg_mem_src(&r->jpeg, (const unsigned char *)bytes, (unsigned long)n);
    jpeg_read_header(&r->jpeg, TRUE);
    const double w = r->jpeg.image_width, h = r->jpeg.image_height;
    if (w > THAW_PHOTO_MOST || h > THAW_PHOTO_MOST || w * h > THAW_PHOTO_PIXELS) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "the photograph is %.0f x %.0f pixels; at most %.0f million are read", w, h,
                         THAW_PHOTO_PIXELS / 1e6);
    }
    if (r->jpeg.num_components != 1 && r->jpeg.num_components != 3) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "the JPEG is made for printing (CMYK); save it as RGB");
    }
    r->orientation = orientation_of(&r->jpeg);
    r->jpeg.out_color_space = JCS_RGB;
    r->jpeg.dct_method = JDCT_ISLOW; /* the same bytes on every machine */
    jpeg_start_decompress(&r->jpeg);
    thaw_status status = read_rows(r, err);
    if (status == THAW_OK) {
        jpeg_finish_decompress(&r->jpeg);
        if (r->errors.manager.num_warnings > 0) {
            status = thaw_fail(err, THAW_ERR_SCENARIO, "the JPEG is broken or cut short (%s)", r->errors.why);
        }
    }
    return status;
}

static thaw_status decode_jpeg(const void *bytes, size_t n, thaw_picture *out, thaw_error *err)
{
    reading *r = thaw_allocate(1, sizeof *r, err);
    if (!r) {
        return THAW_ERR_MEMORY;
    }
    r->jpeg.err = jpeg_std_error(&r->errors.manager);
    r->errors.manager.error_exit = give_up;
    r->errors.manager.emit_message = stay_silent;
    thaw_status status;
    if (setjmp(r->errors.back)) {
        status = thaw_fail(err, THAW_ERR_SCENARIO, "the JPEG is broken or cut short (%s)", r->errors.why);
    } else {
        status = read_jpeg(r, bytes, n, err);
    }
    if (status == THAW_OK) {
        const bool lies = r->orientation >= 5;
        const int w = (int)r->jpeg.output_width, h = (int)r->jpeg.output_height;
        *out = (thaw_picture){lies ? h : w, lies ? w : h, r->rgba};
        r->rgba = NULL;
    }
    jpeg_destroy_decompress(&r->jpeg);
    thaw_release(r->row);
    thaw_release(r->rgba);
    thaw_release(r);
    return status;
}

thaw_status thaw_photo_decode(const void *bytes, size_t n, thaw_picture *out, thaw_error *err)
{
    const unsigned char *b = bytes;
    if (n >= 3 && b[0] == 0xFF && b[1] == 0xD8 && b[2] == 0xFF) {
        return decode_jpeg(bytes, n, out, err);
    }
    if (n >= 8 && memcmp(b, "\x89PNG\r\n\x1a\n", 8) == 0) {
        thaw_status status = thaw_picture_decode_within(bytes, n, THAW_PHOTO_MOST, out, err);
        if (status == THAW_OK && (double)out->width * out->height > THAW_PHOTO_PIXELS) {
            const thaw_picture large = *out;
            thaw_release(large.rgba);
            *out = (thaw_picture){0};
            return thaw_fail(err, THAW_ERR_SCENARIO, "the photograph is %d x %d pixels; at most %.0f million are read", large.width,
                             large.height, THAW_PHOTO_PIXELS / 1e6);
        }
        return status;
    }
    return thaw_fail(err, THAW_ERR_SCENARIO, "is neither a JPEG nor a PNG picture");
}
