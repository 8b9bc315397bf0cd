import '@fontsource/sofia-sans/400.css';
import '@fontsource/sofia-sans/500.css';
import '@fontsource/sofia-sans/600.css';
import '@fontsource/sofia-sans/700.css';
import '@fontsource/spline-sans-mono/400.css';
import '@fontsource/spline-sans-mono/500.css';
import './styles/tokens.css';
import './styles/base.css';
import './styles/kit.css';
import './styles/frame.css';
import { QueryClientProvider } from '@tanstack/react-query';
import { createRoot } from 'react-dom/client';
import { RouterProvider } from 'react-router/dom';
import { makeQueryClient } from './api/queryClient.js';
import { makeRouter } from './app/routes.js';

const page = document.getElementById('page');
if (!page) throw new Error('The page has no place to draw in.');
createRoot(page).render(
  <QueryClientProvider client={makeQueryClient()}>
    <RouterProvider router={makeRouter()} />
  </QueryClientProvider>,
);
