/** The page's one live connection: joins rooms, catches up after every break and hands events on. */
import { io, type Socket } from 'socket.io-client';
import type { FeedEvent, FollowReply, Room, SocketMessages, SocketRequests } from '../contracts.js';
import { RoomFollower } from './RoomFollower.js';

export type LiveState = 'live' | 'connecting' | 'offline';
export interface LiveDoors {
  readonly rooms: readonly Room[];
  readonly after: number;
  readonly deliver: (events: readonly FeedEvent[], missed: number) => void;
  readonly signedOut: () => void;
  readonly stateChanged: (state: LiveState) => void;
}

const ANSWER_WITHIN_MS = 10_000;

export type LiveSocket = Socket<SocketMessages, SocketRequests>;
export interface OpenLive {
  readonly socket: LiveSocket;
  readonly close: () => void;
}

export function openLive(doors: LiveDoors): OpenLive {
  const socket: LiveSocket = io({
    path: '/api/socket',
    withCredentials: true,
    reconnectionDelay: 500,
    reconnectionDelayMax: 4000,
    randomizationFactor: 0.5,
  });
  const followers = new Map(
    doors.rooms.map((room) => [
      room as string,
      new RoomFollower({ room, ask: ask(socket), deliver: doors.deliver, pause }, doors.after),
    ]),
  );

  socket.on('connect', () => {
    doors.stateChanged('connecting');
    const caughtUp = [...followers.values()].map((follower) => follower.connected());
    void Promise.all(caughtUp).then(() => {
      if (socket.connected) doors.stateChanged('live');
    });
  });
  socket.on('disconnect', (reason) => {
    for (const follower of followers.values()) follower.disconnected();
    doors.stateChanged(navigator.onLine ? 'connecting' : 'offline');
    // The server hung up on purpose (a restart, a session that ended): the client does not call back by itself.
    if (reason === 'io server disconnect') socket.connect();
  });
  socket.on('connect_error', (error) => {
    doors.stateChanged(navigator.onLine ? 'connecting' : 'offline');
    // The server knows no such session (any more), and a refused socket does not try again by itself.
    if (error.message === 'sign-in') doors.signedOut();
  });
  socket.on('event', (event) => followers.get(event.room)?.receive(event));
  socket.on('signed-out', doors.signedOut);

  // A network that comes back is tried at once instead of after the waiting time; and a connection that seems to
  // have outlived the break may be dead without having noticed.
  const online = () => void socket.disconnect().connect();
  const offline = () => doors.stateChanged('offline');
  window.addEventListener('online', online);
  window.addEventListener('offline', offline);
  const close = () => {
    window.removeEventListener('online', online);
    window.removeEventListener('offline', offline);
    for (const follower of followers.values()) follower.disconnected();
    socket.disconnect();
  };
  return { socket, close };
}

function ask(socket: LiveSocket) {
  return async (room: Room, after: number): Promise<FollowReply> =>
    socket.timeout(ANSWER_WITHIN_MS).emitWithAck('follow', { room, after });
}

function pause(attempt: number): Promise<void> {
  const longest = Math.min(8000, 500 * 2 ** attempt);
  return new Promise((go) => setTimeout(go, longest * (0.5 + Math.random() / 2)));
}
