/** The functions of the API in the browser, which look at their arguments first. */
import { checked, method, object, optional, type Shape, text } from '../plane/arguments.ts';
import { blobSink as blobSinkInside } from './bytes/blob-sink.ts';
import { blobSource as blobSourceInside } from './bytes/blob-source.ts';
import { download as downloadInside } from './bytes/download.ts';
import { handleSink as handleSinkInside } from './bytes/handle-sink.ts';
import { createService as createServiceInside } from './service.ts';
import { connect as connectInside, serve as serveInside } from './wire/rpc.ts';

const blob: Shape = (value) => (value instanceof Blob ? undefined : `is ${typeof value}, expected a Blob`);
const port = object({ postMessage: method, addEventListener: method });

export const blobSink = checked('blobSink', blobSinkInside, [text]);
export const blobSource = checked('blobSource', blobSourceInside, [text, blob]);
export const connect: typeof connectInside = checked('connect', connectInside, [port]);
export const createService = checked('createService', createServiceInside, [optional(object())]);
export const download = checked('download', downloadInside, [blob, text]);
export const handleSink = checked('handleSink', handleSinkInside, [object({ createWritable: method })]);
export const serve = checked('serve', serveInside, [port, object()]);
