/** The API of linewash on Node: everything of the platform-free one, and files. */
export * from '../index.ts';
export { fileSink } from './file-sink.ts';
export { type FileSource, openFile } from './file-source.ts';
export { closeMasters, type Master, openMasters } from './masters.ts';
export { type MixOptions, type MixResult, mixFiles } from './mix-files.ts';
