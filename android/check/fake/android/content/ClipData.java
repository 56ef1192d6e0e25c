package android.content;

import android.net.Uri;
import java.util.ArrayList;
import java.util.List;

public class ClipData {
    private final List<Item> items = new ArrayList<>();

    public static ClipData newRawUri(CharSequence label, Uri uri) {
        ClipData clip = new ClipData();
        clip.addItem(new Item(uri));
        return clip;
    }

    public void addItem(Item item) {
        items.add(item);
    }

    public int getItemCount() {
        return items.size();
    }

    public Item getItemAt(int index) {
        return items.get(index);
    }

    public static class Item {
        private final Uri uri;

        public Item(Uri uri) {
            this.uri = uri;
        }

        public Uri getUri() {
            return uri;
        }
    }
}
