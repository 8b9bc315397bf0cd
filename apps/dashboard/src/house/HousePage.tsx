/** What the plan rests on: hours, holidays, places, people, and when somebody is away. */
import { useQuery } from '@tanstack/react-query';
import { queries } from '../api/queries.js';
import { Answer } from '../kit/index.js';
import { Absences } from './Absences.js';
import { BusyCalendars } from './BusyCalendars.js';
import { HouseHours } from './HouseHours.js';
import { Holidays } from './Holidays.js';
import { PeopleHours } from './PeopleHours.js';
import { Places } from './Places.js';
import '../styles/house.css';

export function HousePage() {
  const house = useQuery(queries.house());
  return (
    <Answer query={house} what="the hours and places">
      {(view) => (
        <div className="house">
          <div>
            <HouseHours house={view} />
            <Holidays house={view} />
            <Places house={view} />
          </div>
          <div>
            <PeopleHours house={view} />
            <Absences house={view} />
            <BusyCalendars house={view} />
          </div>
        </div>
      )}
    </Answer>
  );
}
