/** Linewash in the browser: files as byte sources and sinks, and the service that a worker runs. */
export { type BlobSink, blobSink } from './blob-sink.ts';
export { blobSource } from './blob-source.ts';
export type { Box } from './crop.ts';
export { download } from './download.ts';
export type { ExportWish } from './export.ts';
export { handleSink, type WritableHandle } from './handle-sink.ts';
export type { Histogram } from './histogram.ts';
export type { HoursAnswer, HoursQuestion } from './hours.ts';
export type { HoursPictures, OutlookQuestion } from './hours-pictures.ts';
export type { HoursCurve, HoursPlan, HoursWishes } from './hours-plan.ts';
export type { MarkedPicture } from './marks.ts';
export type { Lines } from './measure-lines.ts';
export type { OpenedMaster, Zeros } from './open-master.ts';
export type { ProbeAnswer, ProbeQuestion } from './probe.ts';
export { type CallContext, type CallOptions, type Connection, connect, type Port, type Service, serve } from './rpc.ts';
export type { ScreenPicture } from './screen.ts';
export { createService, type LineReport, type MarksQuestion, type Preview, type RenderService } from './service.ts';
