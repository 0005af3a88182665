/** A file's name without its folders; paths have `/` between them. */
export const fileName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/** How files end that may hold a picture with a header. */
export const PICTURE_NAME = /\.(fits?|fts|tiff?)(\.(gz|fz))?$/i;
