/** The person's own menu: account, mood, leaving. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Button as AriaButton } from 'react-aria-components/Button';
import { Menu, MenuItem, MenuTrigger } from 'react-aria-components/Menu';
import { Popover } from 'react-aria-components/Popover';
import { useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { roleWords } from '../contracts.js';
import { Icon } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { refusalOf } from '../words/refusals.js';
import { chooseMood, currentMood, type Mood } from './mood.js';
import { isMember, isOwner, useHere } from './session.js';

const moods: readonly { mood: Mood; words: string; icon: 'sun' | 'moon' | 'today' }[] = [
  { mood: 'paper', words: 'Paper', icon: 'sun' },
  { mood: 'night', words: 'Night', icon: 'moon' },
  { mood: 'system', words: 'As the system', icon: 'today' },
];

export function PersonMenu() {
  const { person } = useHere();
  const go = useNavigate();
  const [mood, setMood] = useState(currentMood);
  const leave = useSignOut();
  return (
    <MenuTrigger>
      <AriaButton className="button button-quiet" aria-label={`${person.name}: account, mood, sign out`}>
        <span>{initials(person.name)}</span>
        <Icon name="down" size={14} />
      </AriaButton>
      <Popover placement="bottom end">
        <div className="menu">
          <div className="menu-head">
            <strong>{person.name}</strong>
            <div className="small soft">{roleWords[person.role]}</div>
          </div>
          <Menu aria-label="Account">
            {isMember(person) && (
              <MenuItem className="menu-item menu-item-rare" onAction={() => void go('/makers')}>
                <Icon name="pencil" /> Makers
              </MenuItem>
            )}
            {isMember(person) && (
              <MenuItem className="menu-item menu-item-rare" onAction={() => void go('/people')}>
                <Icon name="people" /> People
              </MenuItem>
            )}
            {isMember(person) && (
              <MenuItem className="menu-item" onAction={() => void go('/history')}>
                <Icon name="clock" /> History
              </MenuItem>
            )}
            {isMember(person) && (
              <MenuItem className="menu-item" onAction={() => void go('/bin')}>
                <Icon name="bin" /> Bin
              </MenuItem>
            )}
            {isMember(person) && (
              <MenuItem className="menu-item" onAction={() => void go('/cautions')}>
                <Icon name="warning" /> Loud and heavy work
              </MenuItem>
            )}
            {isOwner(person) && (
              <MenuItem className="menu-item" onAction={() => void go('/backups')}>
                <Icon name="download" /> Backups
              </MenuItem>
            )}
            {isOwner(person) && (
              <MenuItem className="menu-item" onAction={() => void go('/operations')}>
                <Icon name="table" /> Operations
              </MenuItem>
            )}
            <MenuItem className="menu-item" onAction={() => void go('/you')}>
              <Icon name="people" /> Your account
            </MenuItem>
            {moods.map((each) => (
              <MenuItem
                key={each.mood}
                className="menu-item"
                textValue={each.words}
                onAction={() => {
                  chooseMood(each.mood);
                  setMood(each.mood);
                }}
              >
                <Icon name={each.icon} /> {each.words}
                {each.mood === mood && <Icon name="check" size={16} />}
                {each.mood === mood && <span className="hidden">(chosen)</span>}
              </MenuItem>
            ))}
            <MenuItem className="menu-item" onAction={() => leave.mutate()}>
              <Icon name="arrow" /> Sign out
            </MenuItem>
          </Menu>
        </div>
      </Popover>
    </MenuTrigger>
  );
}

function useSignOut() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: () => api.signOut(),
    // Everything of the team's leaves this machine's memory with the person.
    onSuccess: () => client.resetQueries(),
    onError: (error) =>
      say({ tone: 'late', title: 'You are still signed in', text: refusalOf(error).message }),
  });
}

function initials(name: string): string {
  const words = name.split(/\s+/).filter((word) => word !== '');
  return words
    .slice(0, 2)
    .map((word) => word.charAt(0).toUpperCase())
    .join('');
}
