/** Linewash in the browser: files as byte sources and sinks, and the service that a worker runs. */
export type { BlobSink } from './bytes/blob-sink.ts';
export type { WritableHandle } from './bytes/handle-sink.ts';
export { blobSink, blobSource, connect, createService, download, handleSink, serve } from './checked.ts';
export type { Box } from './crop.ts';
export type { ExportWish } from './export.ts';
export type { Histogram } from './histogram.ts';
export type { HoursAnswer, HoursQuestion } from './hours.ts';
export type { HoursPictures, OutlookQuestion } from './hours-pictures.ts';
export type { HoursCurve, HoursPlan, HoursWishes } from './hours-plan.ts';
export type { MarkedPicture } from './marks.ts';
export type { Lines } from './measure-lines.ts';
export type { OpenedMaster, Zeros } from './open-master.ts';
export type { ProbeAnswer, ProbeQuestion } from './probe.ts';
export type { ScreenPicture } from './screen.ts';
export type { LineReport, MarksQuestion, Preview, RenderService } from './service.ts';
export type { CallContext, CallOptions, Connection, Port, Service } from './wire/rpc.ts';
