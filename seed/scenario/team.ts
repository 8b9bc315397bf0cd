import type { DemoTeam } from './model.js';

export const demoTeam: DemoTeam = {
  name: 'The Two-Chair Room (invented)',
  timeZone: 'Europe/Copenhagen',
  people: [
    {
      id: 'mira',
      name: 'Mira Tollefsen-Adeyo',
      email: 'mira@twochairroom.example',
      role: 'owner',
      timeZone: 'Europe/Copenhagen',
    },
    {
      id: 'jonas',
      name: 'Jonas Brackwater',
      email: 'jonas@twochairroom.example',
      role: 'cohost',
      timeZone: 'Europe/Copenhagen',
    },
    {
      id: 'petra',
      name: 'Petra Vossenkamp',
      email: 'petra@twochairroom.example',
      role: 'editor',
      timeZone: 'Europe/Lisbon',
    },
    {
      id: 'sam',
      name: 'Sam Underleaf',
      email: 'sam@supporters.example.org',
      role: 'viewer',
      timeZone: 'America/Halifax',
    },
  ],
};
