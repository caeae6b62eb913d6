#include "output/png.h"

#include <math.h>
#include <setjmp.h>
#include <stdint.h>
#include <string.h>

#include <png.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"

#define COMPRESSION      4 /* level 6 takes three times as long for 1 % less */
#define MAX_PIXELS_PER_M 2147483647.0

/* Everything that must outlive libpng's longjmp lives here, not in locals. */
typedef struct writer {
    png_structp png;      /* own */
    png_infop info;       /* own */
    thaw_bytes file;      /* own until handed over */
    thaw_error *err;
    char reason[128];
    jmp_buf back;
} writer;

static void on_error(png_structp png, png_const_charp text)
{
    writer *w = png_get_error_ptr(png);
    strncpy(w->reason, text, sizeof w->reason - 1);
    longjmp(w->back, 1);
}

static void on_warning(png_structp png, png_const_charp text)
{
    (void)png;
    (void)text;
}

static png_voidp on_malloc(png_structp png, png_alloc_size_t size)
{
    writer *w = png_get_mem_ptr(png);
    return thaw_allocate(1, size, w->err);
}

static void on_free(png_structp png, png_voidp block)
{
    (void)png;
    thaw_release(block);
}

static void on_write(png_structp png, png_bytep data, size_t size)
{
    writer *w = png_get_io_ptr(png);
    if (!thaw_bytes_append(&w->file, data, size, w->err)) {
        png_error(png, "not enough memory");
    }
}

static void on_flush(png_structp png)
{
    (void)png;
}

static int is_ascii(const char *text)
{
    for (; *text; text++) {
        if ((unsigned char)*text >= 0x80u) {
            return 0;
        }
    }
    return 1;
}

static void set_texts(writer *w, const thaw_png_text *texts, int n_texts)
{
    for (int i = 0; i < n_texts; i++) {
        /* libpng wants writable strings but only reads them. */
        png_text text = {0};
        text.compression =
            is_ascii(texts[i].value) ? PNG_TEXT_COMPRESSION_NONE : PNG_ITXT_COMPRESSION_NONE;
        text.key = (png_charp)(uintptr_t)texts[i].key;
        text.text = (png_charp)(uintptr_t)texts[i].value;
        png_set_text(w->png, w->info, &text, 1);
    }
}

/* All calls that may jump. False if one did. */
static int write_all(writer *w, const thaw_image *image, const thaw_png_text *texts, int n_texts)
{
    if (setjmp(w->back)) {
        return 0;
    }
    w->png = png_create_write_struct_2(PNG_LIBPNG_VER_STRING, w, on_error, on_warning, w, on_malloc,
                                       on_free);
    w->info = w->png ? png_create_info_struct(w->png) : NULL;
    if (!w->info) {
        return 0;
    }
    png_set_write_fn(w->png, w, on_write, on_flush);
    png_set_compression_level(w->png, COMPRESSION);
    png_set_IHDR(w->png, w->info, (png_uint_32)image->width, (png_uint_32)image->height, 8,
                 PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                 PNG_FILTER_TYPE_DEFAULT);
    png_set_sRGB_gAMA_and_cHRM(w->png, w->info, PNG_sRGB_INTENT_PERCEPTUAL);
    png_uint_32 per_m = (png_uint_32)(1.0 / image->pixel_m + 0.5);
    png_set_pHYs(w->png, w->info, per_m, per_m, PNG_RESOLUTION_METER);
    set_texts(w, texts, n_texts);
    png_write_info(w->png, w->info);
    for (int y = 0; y < image->height; y++) {
        png_write_row(w->png, image->rgb + 3 * (size_t)y * (size_t)image->width);
    }
    png_write_end(w->png, w->info);
    return 1;
}

static thaw_status check(const thaw_image *image, const thaw_png_text *texts, int n_texts,
                         thaw_error *err)
{
    if (image->width < 1 || image->height < 1 || !image->rgb ||
        !(image->pixel_m > 1.0 / MAX_PIXELS_PER_M) || !isfinite(image->pixel_m)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a picture needs pixels and a physical size");
    }
    for (int i = 0; i < n_texts; i++) {
        size_t length = strlen(texts[i].key);
        if (length < 1 || length > 79 || !is_ascii(texts[i].key)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT,
                             "PNG keyword '%s' is not 1 to 79 ASCII characters", texts[i].key);
        }
    }
    return THAW_OK;
}

thaw_status thaw_png_encode(const thaw_image *image, const thaw_png_text *texts, int n_texts,
                            unsigned char **bytes, size_t *n_bytes, thaw_error *err)
{
    thaw_status status = check(image, texts, n_texts, err);
    if (status != THAW_OK) {
        return status;
    }
    writer *w = thaw_allocate(1, sizeof *w, err);
    if (!w) {
        return THAW_ERR_MEMORY;
    }
    w->err = err;
    if (write_all(w, image, texts, n_texts)) {
        *bytes = w->file.bytes;
        *n_bytes = w->file.n;
        w->file.bytes = NULL;
    } else {
        status = thaw_fail(err, THAW_ERR_MEMORY, "the picture could not be packed as PNG: %s",
                           w->reason[0] ? w->reason : "not enough memory");
    }
    png_destroy_write_struct(&w->png, &w->info);
    thaw_release(w->file.bytes);
    thaw_release(w);
    return status;
}
